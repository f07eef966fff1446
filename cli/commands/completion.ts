/** `completion`: what makes a shell complete the program's commands and options. */
import { Argument, type Command } from 'commander';
import type { Act } from '../context';
import { usage } from '../failure';

/** What a shell calls, with the words typed so far behind it, the unfinished one last. */
export const COMPLETE = 'complete-words';

/** For each shell what it evaluates at its start. Where nothing fits, files are completed. */
const SCRIPTS = {
  bash: `_trayward() {
  local IFS=$'\\n'
  COMPREPLY=( $(trayward ${COMPLETE} "\${COMP_WORDS[@]:1:COMP_CWORD}" 2>/dev/null) )
}
complete -o default -F _trayward trayward`,
  zsh: `_trayward() {
  local -a found
  found=( \${(f)"$(trayward ${COMPLETE} "\${(@)words[2,CURRENT]}" 2>/dev/null)"} )
  if (( \${#found} )); then compadd -a found; else _files; fi
}
compdef _trayward trayward`,
  fish: `function __trayward_words
  trayward ${COMPLETE} (commandline -opc)[2..-1] (commandline -ct) 2>/dev/null
end
complete -c trayward -n 'count (__trayward_words) >/dev/null' -f -a '(__trayward_words)'`,
} as const;
type Shell = keyof typeof SCRIPTS;
export const SHELLS: readonly Shell[] = ['bash', 'zsh', 'fish'];

const HOW: Readonly<Record<Shell, string>> = {
  bash: 'eval "$(trayward completion bash)" in ~/.bashrc',
  zsh: 'eval "$(trayward completion zsh)" in ~/.zshrc, after compinit',
  fish: 'trayward completion fish > ~/.config/fish/completions/trayward.fish',
};

export function register(noun: Command, act: Act): void {
  noun
    .addArgument(new Argument('<shell>', 'the shell you type into').choices(SHELLS))
    .addHelpText('after', `\n${SHELLS.map((shell) => HOW[shell]).join('\n')}`)
    .action(
      act({}, async (_, __, [typed]) => {
        const shell = SHELLS.find((name) => name === typed);
        if (shell === undefined)
          throw usage('That shell is not known.', `Give ${SHELLS.join(', ')}.`);
        return { result: { shell, script: SCRIPTS[shell] }, text: SCRIPTS[shell] };
      }),
    );
}
