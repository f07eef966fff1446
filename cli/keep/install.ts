/** A unit for systemd that starts the keeper with the computer, and what to do on systems that have none. Pure. */

export interface Installation {
  readonly name: string;
  /** Absolute paths of Node, of this program, and of the keeper's file. */
  readonly node: string;
  readonly program: string;
  readonly file: string;
  /** Folder of journals, where another one than usual is wanted. */
  readonly store: string | null;
  /** Secrets that come from the environment: from this file, if there are any. */
  readonly environmentFile: string | null;
}

/** A word of a command line as systemd reads it: quoted, with what it would replace written twice. */
function word(text: string): string {
  const plain = text.replace(/%/g, '%%').replace(/\$/g, '$$$$');
  return /[\s"'\\;]/.test(plain) ? `"${plain.replace(/(["\\])/g, '\\$1')}"` : plain;
}

/** A path as the value of a setting: taken as it is, but for what systemd replaces. */
const path = (text: string): string => text.replace(/%/g, '%%');

export const unitName = (name: string): string => `trayward-keep-${name}.service`;

/** The unit's text (systemd.service(5), systemd.exec(5)). */
export function unitText(installation: Installation): string {
  const { name, node, program, file, store, environmentFile } = installation;
  const words = [
    node,
    program,
    'keep',
    'start',
    file,
    ...(store === null ? [] : ['--store', store]),
  ];
  return `[Unit]
Description=Trayward keeper of ${path(name)}

[Service]
Type=exec
ExecStart=${words.map(word).join(' ')}
${environmentFile === null ? '' : `EnvironmentFile=${path(environmentFile)}\n`}Restart=always
RestartSec=10
# 2: the file is wrong, and trying again mends nothing.
RestartPreventExitStatus=2
UMask=0077
NoNewPrivileges=yes
# The other commands meet the keeper in the folder of temporary files: it must be the same one.
PrivateTmp=no

[Install]
WantedBy=default.target
`;
}

/** What to do next, step by step, for people. */
export function stepsAfter(
  unit: string,
  { environmentFile }: Installation,
  user: string,
): readonly string[] {
  return [
    ...(environmentFile === null
      ? []
      : [
          `Write the secrets into ${environmentFile}, one NAME=value a line, and do \`chmod 600 ${environmentFile}\`.`,
        ]),
    '`systemctl --user daemon-reload`',
    `\`systemctl --user enable --now ${unit}\``,
    `\`loginctl enable-linger ${user}\`: else it stops when you log out.`,
    `\`journalctl --user -u ${unit} -f\` shows what it says.`,
  ];
}

/** The same where there is no systemd. */
export function elsewhere(
  system: string,
  { node, program, file }: Installation,
): readonly string[] {
  const command = `"${node}" "${program}" keep start "${file}"`;
  switch (system) {
    case 'darwin':
      return [
        `In ~/Library/LaunchAgents a property list with RunAtLoad and KeepAlive set to true, and these ProgramArguments: ${command}`,
        '`launchctl load FILE` starts it. Keep the computer from going to sleep.',
      ];
    case 'win32':
      return [
        `In the Task Scheduler a task "at log on" that runs ${command}`,
        'Under "Settings", have it restarted if it fails. Keep the computer from going to sleep.',
      ];
    default:
      return [`Have your system start ${command} with the computer, and again whenever it ends.`];
  }
}
