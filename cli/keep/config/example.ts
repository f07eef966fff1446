/** A keeper's file to start from, with every key that a grower is likely to want. */
export const EXAMPLE = `# Who is told what of which trays. \`trayward keep check room.yaml\` says what is wrong with it.
trayward-keep: 1
name: north-room            # small letters, digits, hyphens
morning: "07:00"            # when the morning's lines are sent
quiet: { from: "22:00", to: "06:30" }   # only what is urgent is told in these hours

trays:
  - name: Pepper north
    port: /dev/ttyACM0      # as \`trayward find\` shows it
  - name: Basil
    controller: "0123456789abcdef"   # found at whichever port it is plugged into

doors:                      # how messages leave; one is enough
  - name: mail
    kind: mail
    host: smtp.example.org
    port: 465
    security: tls           # or starttls, usually with port 587
    user: trays@example.org
    password: { file: mail-password }   # a file beside this one, with: chmod 600 mail-password
    from: trays@example.org
  # - name: phone
  #   kind: webhook
  #   url: { file: phone-address }
  #   secret: { file: phone-secret }
  # - name: house
  #   kind: mqtt
  #   url: mqtts://broker.example.org:8883
  #   topic: trayward/north-room
  #   journal: { topic: trayward/fleet }   # many rooms: all journals into one database (cli/fleet)

# page:                     # for the phones in the house; without it there is none
#   listen: 0.0.0.0:4181    # 127.0.0.1:4181, the usual: this computer alone, and no token is needed
#   url: http://keeper.local:4181     # as phones reach it: messages lead there
#   token: { file: page-token }       # made by: openssl rand -hex 16 > page-token; chmod 600 page-token

# sparkplug:                # trays for a host of Sparkplug B 3.0
#   url: mqtts://broker.example.org:8883
#   user: trays
#   password: { file: broker-password }
#   group: Nursery
#   commands: false         # true: a host may say seen and mended, and set marks
# metrics: { listen: "127.0.0.1:9464" }   # for Prometheus, at /metrics

# heartbeat: { url: { file: watcher-address }, every: 5 min }

tell:
  - who: Ann
    door: mail
    to: ann@example.org
  - who: Ben
    door: mail
    to: ben@example.org
    trays: [Basil]
    what: urgent            # all, alarms, urgent or morning
`;
