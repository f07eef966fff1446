/** A fleet's file to start from. */
export const FLEET_EXAMPLE = `# Where the journals of many rooms meet. \`trayward fleet check fleet.yaml\` says what is wrong with it.
trayward-fleet: 1

broker:                     # keepers send there: \`journal: { topic: trayward/fleet }\` at their mqtt door
  url: mqtts://broker.example.org:8883
  user: collector
  password: { file: broker-password }   # a file beside this one, with: chmod 600 broker-password
  topic: trayward/fleet

database:                   # PostgreSQL 14 or later
  host: 127.0.0.1           # over a network with \`ca:\`; or the folder of its socket, /var/run/postgresql
  name: trayward
  logins:                   # a computer has those that it needs
    # owner: { user: trayward_owner, password: { file: owner-password } }     # for fleet migrate
    collector: { user: collect, password: { file: collect-password } }        # for fleet collect
    reader: { user: look, password: { file: look-password } }                 # for the questions
`;
