import type { Shell } from './shells.js';

/**
 * Each script asks the hidden command `complete` and hands on what it says: nothing in them has to change when the
 * command tree does. What is printed is never evaluated by the shell, for some of it comes from files.
 */
export const scripts: Readonly<Record<Shell, string>> = {
  bash: `# Completion of loadside for bash. For this session, or in ~/.bashrc for all:
#   source <(loadside completion bash)
_loadside() {
  local rest=$COMP_LINE count=0 index piece behind
  local words=()
  # Bash breaks words at = and : as well. What touches on the line is one word.
  for ((index = 0; index <= COMP_CWORD; index++)); do
    piece=\${COMP_WORDS[index]}
    behind=\${rest#"\${rest%%[![:space:]]*}"}
    if ((count > 0)) && [[ $behind == "$rest" ]]; then
      words[count - 1]+=$piece
    else
      words[count]=$piece
      count=$((count + 1))
    fi
    rest=\${behind#"$piece"}
  done
  local at=\${words[count - 1]} last=\${COMP_WORDS[COMP_CWORD]} text
  # A sign at which words break stays where it is, and the answer goes behind it.
  [[ $last == [=:] ]] && last=
  for ((index = 0; index < count; index++)); do
    text=\${words[index]}
    text=\${text#[\\"\\']}
    text=\${text%[\\"\\']}
    words[index]=\${text//\\\\/}
  done
  words[count - 1]=:\${words[count - 1]}
  COMPREPLY=()
  local kind
  {
    IFS= read -r kind
    while IFS=$'\\t' read -r text _; do
      [[ $text == *[=:] ]] || text+=' '
      COMPREPLY+=("\${text:\${#at} - \${#last}}")
    done
  } < <(loadside complete "\${words[@]:1}" 2>/dev/null)
  # Old versions of bash have no compopt: there files are offered where nothing else is.
  if [[ $kind == files ]]; then
    compopt +o nospace 2>/dev/null
  else
    compopt +o default +o bashdefault 2>/dev/null
  fi
  return 0
}
complete -o nospace -o bashdefault -o default -F _loadside loadside
`,
  zsh: `#compdef loadside
# Completion of loadside for zsh. For this session, or in ~/.zshrc behind compinit for all:
#   source <(loadside completion zsh)
# or write it as _loadside into a folder of $fpath.
_loadside() {
  local -a lines finished finished_shown open open_shown
  local line text shown
  lines=("\${(@f)$(loadside complete "\${(@Q)words[2,CURRENT-1]}" ":\${(Q)PREFIX}" 2>/dev/null)}")
  if [[ $lines[1] == files ]]; then
    _files
    return
  fi
  for line in "\${(@)lines[2,-1]}"; do
    text=\${line%%$'\\t'*}
    shown=$text
    [[ $text == "$line" ]] || shown="\${(r:24:)text} \${line#*$'\\t'}"
    if [[ $text == *[=:] ]]; then
      open+=("$text") open_shown+=("$shown")
    else
      finished+=("$text") finished_shown+=("$shown")
    fi
  done
  (( $#finished )) && compadd -Q -l -d finished_shown -a -- finished
  (( $#open )) && compadd -Q -l -S '' -d open_shown -a -- open
}
if [[ $funcstack[1] == _loadside ]]; then
  _loadside "$@"
else
  compdef _loadside loadside
fi
`,
  fish: `# Completion of loadside for fish. For this session, or in ~/.config/fish/config.fish for all:
#   loadside completion fish | source
function __loadside_complete
    set -l words (commandline -opc)
    set -l at (commandline -ct)
    set -l lines (loadside complete $words[2..-1] ":$at" 2>/dev/null)
    if test "$lines[1]" = files
        __fish_complete_path "$at"
    else
        printf '%s\\n' $lines[2..-1]
    end
end
complete -c loadside -f -a '(__loadside_complete)'
`,
  powershell: `# Completion of loadside for PowerShell. For this session, or in the file $PROFILE for all:
#   loadside completion powershell | Out-String | Invoke-Expression
Register-ArgumentCompleter -Native -CommandName loadside -ScriptBlock {
  param($wordToComplete, $commandAst, $cursorPosition)
  $words = @($commandAst.CommandElements |
    Select-Object -Skip 1 |
    Where-Object { $_.Extent.EndOffset -lt $cursorPosition } |
    ForEach-Object { if ($_ -is [System.Management.Automation.Language.StringConstantExpressionAst]) { $_.Value } else { $_.Extent.Text } })
  $lines = @(& loadside complete @words ":$wordToComplete" 2>$null)
  if ($lines.Count -eq 0 -or $lines[0] -eq 'files') { return }
  $lines | Select-Object -Skip 1 | ForEach-Object {
    $text, $about = $_ -split "\`t", 2
    if (-not $about) { $about = $text }
    [System.Management.Automation.CompletionResult]::new($text, $text, 'ParameterValue', $about)
  }
}
`,
};
