// Completion for shells, made from the commands' own help.

package main

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"text/template"
)

var flagInHelp = regexp.MustCompile(`(?m)(^|[\s\[(])--([a-z][a-z-]*)`)

// flagsInHelp are the flags that the help of a command names, sorted.
func (c *command) flagsInHelp() []string {
	flags := []string{"--help"}
	for _, m := range flagInHelp.FindAllStringSubmatch(c.usage, -1) {
		flags = append(flags, "--"+m[2])
	}
	slices.Sort(flags)
	return slices.Compact(flags)
}

// completions teach a shell the commands and, behind a command, its flags; file
// names are left to the shell.
var completions = map[string]string{
	"bash": `# rakelight for bash: source this file, or put it into the folder that
# bash-completion reads, under the name rakelight
_rakelight() {
  local word=${COMP_WORDS[COMP_CWORD]} choices=
  if [ "$COMP_CWORD" -eq 1 ]; then
    choices="help{{range .}} {{.Name}}{{end}}"
  else
    case ${COMP_WORDS[1]} in
      help) choices="build.md man completion{{range .}} {{.Name}}{{end}}" ;;
{{range .}}      {{.Name}}) choices="{{join .Flags " "}}" ;;
{{end}}    esac
  fi
  COMPREPLY=($(compgen -W "$choices" -- "$word"))
}
complete -o default -F _rakelight rakelight
`,
	"zsh": `#compdef rakelight
# rakelight for zsh: put this file into a folder of $fpath, under the name _rakelight
_rakelight() {
  local -a choices
  if (( CURRENT == 2 )); then
    choices=(
      'help:tell more of a command'
{{range .}}      '{{.Name}}:{{quote .Line}}'
{{end}}    )
    _describe command choices
    return
  fi
  case $words[2] in
    help) compadd -- build.md man completion{{range .}} {{.Name}}{{end}}; return ;;
{{range .}}    {{.Name}}) choices=({{join .Flags " "}}) ;;
{{end}}  esac
  [[ $PREFIX == -* ]] && compadd -a choices || _files
}
if [ "$funcstack[1]" = _rakelight ]; then _rakelight "$@"; else compdef _rakelight rakelight; fi
`,
	"fish": `# rakelight for fish: put this file into ~/.config/fish/completions as rakelight.fish
complete -c rakelight -n __fish_use_subcommand -f -a help -d 'tell more of a command'
complete -c rakelight -n '__fish_seen_subcommand_from help' -f -a 'build.md man completion{{range .}} {{.Name}}{{end}}'
{{range $c := .}}complete -c rakelight -n __fish_use_subcommand -f -a {{.Name}} -d '{{quoteFish .Line}}'
{{range .Flags}}complete -c rakelight -n '__fish_seen_subcommand_from {{$c.Name}}' -l {{bare .}}
{{end}}{{end}}`,
	"powershell": `# rakelight for PowerShell: add this to the file that $PROFILE names
Register-ArgumentCompleter -Native -CommandName rakelight -ScriptBlock {
  param($word, $line)
  $flags = @{
    help = 'build.md man completion{{range .}} {{.Name}}{{end}}'
{{range .}}    {{.Name}} = '{{join .Flags " "}}'
{{end}}  }
  $said = @($line.CommandElements | ForEach-Object { $_.ToString() })
  $behind = $said.Count -gt 2 -or ($said.Count -eq 2 -and $word -eq '')
  $choices = if ($behind) { $flags[$said[1]] } else { $flags.Keys -join ' ' }
  "$choices" -split ' ' | Where-Object { $_ -like "$word*" } | Sort-Object |
    ForEach-Object { [System.Management.Automation.CompletionResult]::new($_) }
}
`,
}

// completion is the script for a shell; ok is false for one there is none for.
func completion(shell string) (script string, ok bool) {
	text, ok := completions[shell]
	if !ok {
		return "", false
	}
	type word struct {
		Name, Line string
		Flags      []string
	}
	var words []word
	for _, c := range commands {
		words = append(words, word{c.name, c.line, c.flagsInHelp()})
	}
	var b strings.Builder
	template.Must(template.New(shell).Funcs(template.FuncMap{
		"join":      strings.Join,
		"bare":      func(flag string) string { return strings.TrimPrefix(flag, "--") },
		"quote":     func(s string) string { return strings.ReplaceAll(s, "'", `'\''`) },
		"quoteFish": func(s string) string { return strings.ReplaceAll(s, "'", `\'`) },
	}).Parse(text)).Execute(&b, words) // a strings.Builder takes all it is given
	return b.String(), true
}

// helpTopic is a help that is of no command: "build.md", "man", "completion
// SHELL". ok is false for words that name none.
func helpTopic(args []string) (text string, ok bool, err error) {
	switch {
	case args[0] == "man" && len(args) == 1:
		return manPage(), true, nil
	case args[0] == "completion":
		if len(args) == 2 {
			if text, ok = completion(args[1]); ok {
				return text, true, nil
			}
		}
		var shells []string
		for shell := range completions {
			shells = append(shells, shell)
		}
		slices.Sort(shells)
		return "", true, &usageError{fmt.Sprintf("help completion takes one of %s", strings.Join(shells, ", "))}
	}
	return "", false, nil
}
