package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/barrier/report"
)

// sweepCall is one call of the sweep command.
type sweepCall struct {
	file   string
	vary   []string
	format string
	checks []string
	output string // file to write; empty for standard output
	resume string // file to go on with; empty for none
	force  bool   // an output that is there is written anew
}

func sweepCommand() *cobra.Command {
	var call sweepCall
	cmd := &cobra.Command{
		Use:   "sweep FILE --vary KEY=VALUES...",
		Short: "check a barrier with other values of its keys, a row for each",
		Long: `sweep checks the barrier of a TOML file with every combination of the values
that are given for some of its keys, and writes a row for each: CSV, or JSON
lines. The last --vary varies fastest. A file named - is standard input.

KEY is a key of the file, or one that it could have: run.spacing, post.height,
post.base.stiffness. Of several rails or loads it names one by its name
(rail.top.tube, load.people.value) or by its place from 0 (rail[0].height), or
all of them (rail.tube). Keys with + between them have each value together:
post.height+rail.top.height.

VALUES are one or more of these, with | between them, or commas where there is
no |:
  900mm..1200mm:50mm       from 900 mm to 1200 mm by steps of 50 mm
  1.0..1.5 m:0.1 m         a part without a unit has that of the end
  950mm, true, 1.5, rigid  a quantity, true or false, a number, a word
  EN 10255 DN40 medium     a name
  "a, b"                   text in quotes, as it stands
  { od = "48.3 mm", wall = "3.2 mm" }  a value as in the file
  ["0 m", "2 m"] | ["0 m", "1 m", "2 m"]  lists, each one value
The end of a range is a value where it falls on a step.

A row has the values; the verdict (status) and whether it is on all of the
barrier (scope_complete); utilisation and what governs; utilisations of strength
and deflection; the largest base moment, uplift, slip and deflection; feet and
the longest bay that is built; how many items are unchecked; and a note.
--checks adds the worst utilisation of some checks, or of all. A cell without a
value is empty: a check without bound has no utilisation, and the note names it.
A variant that the definition refuses is a row with the status "refused" and
the reason, one whose calculation could not be trusted is "not trusted".

-o FILE takes each row as soon as its turn has come, so that what is done is
kept whatever happens; other commands write whole files alone. A file that is
there is left as it is: --resume FILE goes on with it, --force writes it anew.
--resume takes a file that the same call began: it drops a last line that was
cut short, skips the rows that are there and appends the others; a file that is
not there is begun. A file of another sweep, or of a definition that has changed
since, is refused and left as it is. So is one that another process is writing.

` + exitCodes + `
A sweep judges nothing: here 0 says that every variant was checked, whatever the
verdicts, 4 that some are refused, 3 that the calculation of one could not
be trusted, 2 that all are refused.`,
		Example: `  stanchion sweep gallery.toml --vary "run.spacing=1m..1.5m:250mm"     # exit 0
  stanchion sweep gallery.toml --vary "run.spacing=1m" --format jsonl  # exit 0
  stanchion sweep gallery.toml --vary "rail.top.height=1m..1.1m:50mm"  # exit 0
  stanchion sweep gallery.toml --vary "post.height=1m..1.1m:100mm"     # exit 4
  stanchion sweep gallery.toml --vary "run.spacing=1m" -o a.csv        # exit 0
  stanchion sweep gallery.toml --vary "run.spacing=1m" --resume a.csv  # exit 0`,
		Args: func(cmd *cobra.Command, args []string) error {
			if cmd.Flags().Changed("resume") && call.resume == "" {
				return errors.New("--resume names no file: write --resume FILE")
			}
			name := cmp.Or(call.resume, call.output)
			return errors.Join(takeOutput(cmd, &call.output), takeFormat(cmd, &call.format, sweepFormats(), name, sweepFormats()...), call.take(args))
		},
		RunE: func(cmd *cobra.Command, _ []string) error {
			return call.run(cmd.Context(), cmd.InOrStdin(), cmd.OutOrStdout(), cmd.ErrOrStderr())
		},
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return []string{"toml"}, cobra.ShellCompDirectiveFilterFileExt
		},
	}
	flags := cmd.Flags()
	flags.StringArrayVar(&call.vary, "vary", nil, "`KEY=VALUES`: a key and what it is to be, once for each key")
	flags.StringVar(&call.format, "format", "csv", "`FORMAT` of the output: csv or jsonl")
	flags.StringSliceVar(&call.checks, "checks", nil, "add the worst utilisation of these checks (`IDS`), or of all, to CSV")
	flags.StringVarP(&call.output, "output", "o", "", "write rows to this new `FILE` as they finish")
	flags.StringVar(&call.resume, "resume", "", "go on with this `FILE`")
	flags.BoolVar(&call.force, "force", false, "write the FILE of -o anew where there is one")
	// They err only for a flag that does not exist.
	_ = cmd.RegisterFlagCompletionFunc("format", completeNames(func() []choice { return wordsAsChoices(sweepFormats()) }))
	_ = cmd.RegisterFlagCompletionFunc("checks", completeNames(checkNames))
	_ = cmd.RegisterFlagCompletionFunc("output", cobra.FixedCompletions(nil, cobra.ShellCompDirectiveDefault))
	_ = cmd.RegisterFlagCompletionFunc("resume", cobra.FixedCompletions(nil, cobra.ShellCompDirectiveDefault))
	return cmd
}

func sweepFormats() []string { return []string{"csv", "jsonl"} }

// take keeps the file and judges the call as a whole, all faults at once.
func (c *sweepCall) take(files []string) error {
	var faults []error
	if err := takeFile(&c.file, files, "sweep", `quote values with a space, as in --vary "rail.tube=EN 10255 DN40 medium"`); err != nil {
		faults = append(faults, err)
	}
	if err := c.takeChecks(); err != nil {
		faults = append(faults, err)
	}
	switch {
	case c.resume == "-":
		faults = append(faults, errors.New("--resume -: what was written to standard output cannot be read back, name a file"))
	case c.resume != "" && c.output != "" && c.resume != c.output:
		faults = append(faults, fmt.Errorf("-o %s and --resume %s are two files: --resume alone names the one that is gone on with", c.output, c.resume))
	case c.resume != "" && c.force:
		faults = append(faults, errors.New("--resume and --force exclude each other: go on with the file, or write it anew"))
	case c.force && c.output == "":
		faults = append(faults, errors.New("--force is of -o FILE, and none is given"))
	}
	return errors.Join(faults...)
}

// takeChecks makes of the word all every id, and judges the others.
func (c *sweepCall) takeChecks() error {
	var faults []error
	for _, id := range c.checks {
		if id == "all" {
			c.checks = nil
			for _, known := range check.CheckIDs() {
				c.checks = append(c.checks, known.ID)
			}
			break
		}
		if err := knownCheck(id); err != nil {
			faults = append(faults, err)
		}
	}
	if len(c.checks) > 0 && c.format == "jsonl" {
		faults = append(faults, errors.New("--checks adds columns to CSV: JSON lines have all checks already"))
	}
	return errors.Join(faults...)
}

func (c *sweepCall) run(ctx context.Context, stdin io.Reader, stdout, stderr io.Writer) error {
	v, err := readDocument(c.file, stdin)
	if err != nil {
		return err
	}
	sweep, err := explore.NewSweep(v.doc, c.vary)
	if err != nil {
		return wrong(err)
	}
	table := report.NewSweepTable(sweep, c.file, v.data, c.vary, report.SweepOptions{JSONLines: c.format == "jsonl", Checks: c.checks})
	rows, err := c.open(table, sweep.Len(), stdout)
	if err != nil {
		return wrong(err)
	}
	bar := newProgress(stderr)
	bar.at(rows.done, sweep.Len())
	err = sweep.Run(ctx, rows.done, func(i int, row explore.Variant) error {
		if err := rows.add(&row); err != nil {
			return err
		}
		bar.at(i+1, sweep.Len())
		return nil
	})
	bar.erase()
	err = errors.Join(err, rows.close())
	switch {
	case err != nil && ctx.Err() != nil:
		fmt.Fprintln(stderr, "stanchion: interrupted: "+c.goOn(rows))
		return &ending{code: exitInterrupted}
	case err != nil:
		fmt.Fprintf(stderr, "stanchion: %v\n", err)
		fmt.Fprintln(stderr, "stanchion: stopped: "+c.goOn(rows))
		return &ending{code: exitWrong}
	}
	return rows.ending(stderr)
}

// goOn says how far a sweep has come and which call goes on with it.
func (c *sweepCall) goOn(rows *sweepRows) string {
	if rows.name == "" {
		return fmt.Sprintf("%d of %d rows are written", rows.done, rows.all)
	}
	words := []string{"stanchion", "sweep", c.file}
	for _, flag := range c.vary {
		words = append(words, "--vary", flag)
	}
	if c.format != "csv" {
		words = append(words, "--format", c.format)
	}
	if len(c.checks) > 0 {
		words = append(words, "--checks", strings.Join(c.checks, ","))
	}
	words = append(words, "--resume", rows.name)
	for i := range words {
		words[i] = shellWord(words[i])
	}
	return fmt.Sprintf("%d of %d rows are in %s; go on with\n  %s", rows.done, rows.all, rows.name, strings.Join(words, " "))
}

// shellWord quotes a word as a POSIX shell reads it, where it needs that.
func shellWord(word string) string {
	const plain = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./:=,@%+"
	if word != "" && strings.Trim(word, plain) == "" {
		return word
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}
