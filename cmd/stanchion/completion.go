package main

import (
	_ "embed"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

// The scripts hand a command line, as far as it is typed, to the hidden command
// __complete that cobra brings, and its answers to the shell. They are our own:
// cobra's part a name at its spaces.
var (
	//go:embed completion/stanchion.bash
	bashCompletion string
	//go:embed completion/stanchion.zsh
	zshCompletion string
	//go:embed completion/stanchion.fish
	fishCompletion string
)

// completeDefinitions completes up to so many TOML files.
func completeDefinitions(most int) cobra.CompletionFunc {
	return func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		if len(args) >= most {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return []string{"toml"}, cobra.ShellCompDirectiveFilterFileExt
	}
}

// shells are those that have a script, in the order in which they are named.
func shells() []string { return []string{"bash", "zsh", "fish"} }

func completionCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "completion SHELL",
		Short: "print the completion script for bash, zsh or fish",
		Long: `completion prints a script that lets the shell complete commands, flags, TOML
files and, after --match, the names of tubes, grades, schedules, coatings and
categories and the ids of checks; after explain --check and --element ids and
the elements of the file. Case does not matter, and a name with spaces comes
quoted.

For the shell that runs, and for every new one when the line stands in its start
file:
  bash   source <(stanchion completion bash)      in ~/.bashrc
  zsh    source <(stanchion completion zsh)       in ~/.zshrc, after compinit
  fish   stanchion completion fish | source       in ~/.config/fish/config.fish

` + exitCodes,
		Example: `  stanchion completion bash     # exit 0
  stanchion completion zsh      # exit 0
  stanchion completion fish     # exit 0`,
		Args: func(_ *cobra.Command, args []string) error {
			switch {
			case len(args) == 0:
				return errors.New("completion for which shell: bash, zsh or fish?")
			case len(args) > 1:
				return fmt.Errorf("completion takes one shell, got %d", len(args))
			case !slices.Contains(shells(), args[0]):
				return fmt.Errorf("no completion for the shell %q: write bash, zsh or fish", args[0])
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			script := map[string]string{"bash": bashCompletion, "zsh": zshCompletion, "fish": fishCompletion}[args[0]]
			if _, err := io.WriteString(cmd.OutOrStdout(), script); err != nil {
				return wrong(fmt.Errorf("writing the script: %w", err))
			}
			return nil
		},
		ValidArgs: shells(),
	}
}

// choice is a name that can be completed, with a few words about it.
type choice struct{ name, about string }

// completeNames completes the value of a flag with the names of a list, in the
// order of the list.
func completeNames(names func() []choice) cobra.CompletionFunc {
	return func(_ *cobra.Command, _ []string, typed string) ([]cobra.Completion, cobra.ShellCompDirective) {
		return beginning(typed, names()), cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveKeepOrder
	}
}

// beginning returns the choices whose names begin with what was typed, in any
// case. The scripts pass a word as it stands on the line, so it may be quoted.
func beginning(typed string, choices []choice) []cobra.Completion {
	start := unquoted(typed)
	var fit []cobra.Completion
	for _, c := range choices {
		if len(c.name) >= len(start) && strings.EqualFold(c.name[:len(start)], start) {
			fit = append(fit, cobra.CompletionWithDesc(c.name, c.about))
		}
	}
	return fit
}

// unquoted takes the shell's quoting off a word, whose last quote may still be
// open: "EN 10, 'EN 10 and EN\ 10 are EN 10.
func unquoted(word string) string {
	var plain strings.Builder
	var open byte // the quote that is open; 0 for none
	for i := 0; i < len(word); i++ {
		switch c := word[i]; {
		case c == open:
			open = 0
		case open == 0 && (c == '"' || c == '\''):
			open = c
		case c == '\\' && open != '\'':
			i++
			if i < len(word) {
				plain.WriteByte(word[i])
			}
		default:
			plain.WriteByte(c)
		}
	}
	return plain.String()
}

func tubeNames() []choice {
	var names []choice
	for _, tube := range sections.Tubes() {
		r := tube.Row()
		names = append(names, choice{r.Name, fmt.Sprintf("%v x %v mm", r.ODMM, r.WallMM)})
	}
	return names
}

// gradeNames has each name once: the bands of wall and the standards that share
// one are together.
func gradeNames() []choice {
	var names []choice
	for _, grade := range sections.Grades() {
		i := slices.IndexFunc(names, func(c choice) bool { return c.name == grade.Name })
		switch {
		case i < 0:
			names = append(names, choice{grade.Name, grade.Standard})
		case !slices.Contains(strings.Split(names[i].about, ", "), grade.Standard):
			names[i].about += ", " + grade.Standard
		}
	}
	return names
}

func scheduleNames() []choice {
	var names []choice
	for _, schedule := range loads.Schedules() {
		names = append(names, choice{schedule.Name, schedule.Use})
	}
	return names
}

func checkNames() []choice {
	var names []choice
	for _, id := range check.CheckIDs() {
		names = append(names, choice{id.ID, id.Meaning})
	}
	return names
}
