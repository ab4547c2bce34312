// Command stanchion checks tube-and-fitting guard rails: a barrier written as a
// TOML file becomes a report of demands, resistances and utilisations.
//
// It is a pre-check. A qualified engineer must verify the result; the local code
// and licensed practice come first.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"slices"
	"syscall"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

func main() {
	pacedHeap()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// run carries out one call and returns its exit code. Results go to stdout and
// everything else to stderr.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	root := rootCommand()
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	help := &witness{to: stdout}
	root.SetHelpFunc(helpTo(help, root.HelpFunc()))
	command, err := root.ExecuteContextC(ctx)
	if err == nil && help.err != nil {
		err = wrong(fmt.Errorf("writing the help: %w", help.err))
	}
	if err == nil {
		return exitPass
	}
	var end *ending
	if errors.As(err, &end) {
		if end.err != nil {
			end.tell(stderr)
		}
		return end.code
	}
	// Anything else comes from cobra: the call itself is wrong.
	fmt.Fprintf(stderr, "stanchion: %v\n\nusage: %s\n", err, command.UseLine())
	fmt.Fprintf(stderr, "help:  %s --help\n", command.CommandPath())
	return exitWrong
}

// caution is what each page of help in a manual says of the program.
const caution = `It is a pre-check. A qualified engineer must verify the result; the local code
and licensed practice come first.`

func rootCommand() *cobra.Command {
	root := &cobra.Command{
		Use:   "stanchion COMMAND",
		Short: "check tube-and-fitting guard rails",
		Long: `stanchion checks a guard rail of round tubes and slip-on fittings: uprights,
rails, fittings and feet, down to bolts, concrete, ground or counterweights,
against the loads of a code, from one TOML file, as it is planned or as a survey
found it. From the same file it finds the largest spacing of posts, the lightest
tubes, a row for each variant, what years of weather make of it, and how stiff
a foot is by a site load test.

` + caution + `

` + exitCodes,
		Example: `  stanchion check gallery.toml                               # exit 0
  stanchion explain gallery.toml                             # exit 0
  stanchion draw gallery.toml -o gallery.svg                 # exit 0
  stanchion spacing gallery.toml                             # exit 0
  stanchion tubes gallery.toml --standard "EN 10255"         # exit 0
  stanchion sweep gallery.toml --vary "run.spacing=1m,1.5m"  # exit 0
  stanchion life spray-walk.toml                             # exit 0
  stanchion prooftest sluice-crossing.toml                   # exit 0
  stanchion compare gallery.toml loading-bay.toml            # exit 1
  stanchion new --basis CSA                                  # exit 0
  stanchion list tubes --match DN40                          # exit 0
  stanchion schema barrier                                   # exit 0
  stanchion completion bash                                  # exit 0
  stanchion version                                          # exit 0`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return errors.New("a command is missing: check, explain, draw, spacing, tubes, sweep, life, prooftest, compare, new, list, schema, completion or version")
			}
			return unknownCommand(cmd, args[0])
		},
		RunE:                       refused,
		SilenceUsage:               true,
		SilenceErrors:              true,
		DisableFlagsInUseLine:      true,
		SuggestionsMinimumDistance: 2,
	}
	root.SetFlagErrorFunc(flagError)
	root.SetUsageTemplate(usage)
	root.SetHelpCommand(helpCommand(root))
	root.CompletionOptions.DisableDefaultCmd = true
	root.CompletionOptions.SetDefaultShellCompDirective(cobra.ShellCompDirectiveNoFileComp)
	root.AddCommand(checkCommand(), explainCommand(), drawCommand(), spacingCommand(), tubesCommand(), sweepCommand(), lifeCommand(), proofTestCommand())
	root.AddCommand(compareCommand(), newCommand(), listCommand(), schemaCommand(), completionCommand(), manualCommand(), versionCommand())
	return root
}

// usage lays out what follows the long text of a help page.
const usage = `Usage:
  {{.UseLine}}
{{- if .HasExample}}

Examples:
{{.Example}}
{{- end}}
{{- if .HasAvailableSubCommands}}

Commands:
{{- range .Commands}}{{if .IsAvailableCommand}}
  {{rpad .Name .NamePadding}} {{.Short}}
{{- end}}{{end}}
{{- end}}
{{- if .HasAvailableLocalFlags}}

Flags:
{{.LocalFlags.FlagUsagesWrapped 80 | trimTrailingWhitespaces}}
{{- end}}
`

// refused stands for the work of a command that has none of its own: its Args
// refuse every call, so that a wrong word is answered with the likely one.
func refused(*cobra.Command, []string) error { return nil }

// helpCommand prints the help page of a command: "help list tubes" is "list
// tubes --help".
func helpCommand(root *cobra.Command) *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND]",
		Short: "print the help page of a command",
		RunE: func(_ *cobra.Command, words []string) error {
			about, rest, err := root.Find(words)
			if err != nil {
				return unknownCommand(root, words[0])
			}
			if len(rest) > 0 {
				return unknownCommand(about, rest[0])
			}
			return about.Help()
		},
		ValidArgsFunction: func(_ *cobra.Command, words []string, typed string) ([]cobra.Completion, cobra.ShellCompDirective) {
			about, _, err := root.Find(words)
			if err != nil {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			var commands []choice
			for _, sub := range about.Commands() {
				if sub.IsAvailableCommand() {
					commands = append(commands, choice{sub.Name(), sub.Short})
				}
			}
			return beginning(typed, commands), cobra.ShellCompDirectiveNoFileComp
		},
	}
}

// helpTo prints help pages as cobra does, which drops the error of a page that cannot be written.
func helpTo(out io.Writer, print func(*cobra.Command, []string)) func(*cobra.Command, []string) {
	return func(cmd *cobra.Command, args []string) {
		cmd.SetOut(out)
		print(cmd, args)
	}
}

// unknownCommand says which command was likely meant.
func unknownCommand(cmd *cobra.Command, name string) error {
	if near := cmd.SuggestionsFor(name); len(near) > 0 {
		return fmt.Errorf("unknown command %q: did you mean %q?", name, near[0])
	}
	return fmt.Errorf("unknown command %q", name)
}

// flagError says which flag, or which command, was likely meant.
func flagError(cmd *cobra.Command, err error) error {
	var unknown *pflag.NotExistError
	if !errors.As(err, &unknown) {
		return err
	}
	if name := unknown.GetSpecifiedName(); slices.ContainsFunc(cmd.Root().Commands(), func(c *cobra.Command) bool { return c.Name() == name }) {
		return fmt.Errorf("%w: that is a command: %s %s", err, cmd.Root().Name(), name)
	}
	// The flags as commands: cobra has a measure of likeness for those alone.
	flags := &cobra.Command{SuggestionsMinimumDistance: 2}
	cmd.Flags().VisitAll(func(f *pflag.Flag) {
		flags.AddCommand(&cobra.Command{Use: f.Name, Run: func(*cobra.Command, []string) {}})
	})
	if near := flags.SuggestionsFor(unknown.GetSpecifiedName()); len(near) > 0 {
		return fmt.Errorf("%w: did you mean --%s?", err, near[0])
	}
	return err
}
