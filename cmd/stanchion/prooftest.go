package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"strconv"

	"github.com/spf13/cobra"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/barrier/report"
	"example.com/stanchion/internal/quantity"
)

// proofTestCall is one call of the prooftest command.
type proofTestCall struct {
	file    string
	format  string
	output  string // file to write; empty for standard output
	changes []barrier.Change
}

// proofTestFlag is a flag that stands in place of a key of [prooftest].
type proofTestFlag struct {
	name, value, usage string
	takesOut           string // the key that it excludes
	number             bool   // a plain number
}

func proofTestFlags() []proofTestFlag {
	return []proofTestFlag{
		{name: "post", value: "N", usage: "load at this post, from 1", takesOut: "bay", number: true},
		{name: "bay", value: "N", usage: "load at mid-span of this bay, from 1", takesOut: "post", number: true},
		{name: "rail", value: "NAME", usage: "rail that is loaded, or at whose height the post is; left out: the highest"},
		{name: "force", value: "FORCE", usage: `test load, such as "0.9 kN"`, takesOut: "schedule"},
		{name: "schedule", value: "NAME", usage: "schedule whose service load is the test load", takesOut: "force"},
		{name: "direction", value: "WORD", usage: "outward or inward"},
		{name: "measured", value: "LENGTH", usage: `movement across that was measured at the load, such as "18 mm"`},
		{name: "accuracy", value: "LENGTH", usage: `by how much it may be off, such as "0.5 mm"`},
		{name: "residual", value: "LENGTH", usage: "movement that stayed when the load was off"},
	}
}

func proofTestCommand() *cobra.Command {
	var call proofTestCall
	cmd := &cobra.Command{
		Use:   "prooftest FILE",
		Short: "plan a site load test, and read the base stiffness from it",
		Long: `prooftest plans a static load test on site at a post or at mid-span of a bay:
what [prooftest] of the file says, or flags in its place. It predicts the
movement across at the load, with rigid feet and with those of the file, for
each reading of the splices that stands, and prints the plan with the movement
at which to stop. A file named - is standard input.

From a measured movement it finds the stiffness of the tested foot that explains
it, between the ends of what the accuracy allows: of the loaded post alone, or
of both posts beside a loaded bay. The other feet keep what the file gives. It
then runs the ordinary check with that foot beside that of the file. A movement
that no stiffness explains is told as such.

The load is the service load. A test is never read as a capacity.

--format json has every number in SI. -o FILE writes what the name ends in,
.json, or else the format asked for. FILE is replaced only when all is complete.

` + exitCodes + `
prooftest judges nothing: it ends with 0, 2 or 3.`,
		Example: `  stanchion prooftest sluice-crossing.toml                  # exit 0
  stanchion prooftest gallery.toml --post 4                 # exit 0
  stanchion prooftest gallery.toml --bay 3 --force "450 N"  # exit 0
  stanchion prooftest gallery.toml --post 4 --measured 14   # exit 2`,
		Args: func(cmd *cobra.Command, args []string) error {
			return errors.Join(takeOutput(cmd, &call.output), takeFormat(cmd, &call.format, proofTestFormats(), call.output, "json"),
				takeFile(&call.file, args, "prooftest", `quote a length with a space, as in --measured "18 mm"`), call.take(cmd))
		},
		RunE: func(cmd *cobra.Command, _ []string) error {
			return call.run(cmd.Context(), cmd.InOrStdin(), cmd.OutOrStdout())
		},
		ValidArgsFunction: completeDefinitions(1),
	}
	flags := cmd.Flags()
	flags.StringVar(&call.format, "format", "text", "`FORMAT` of the output: text or json")
	flags.StringVarP(&call.output, "output", "o", "", "write to this `FILE`, in the format that its name ends in")
	for _, f := range proofTestFlags() {
		flags.String(f.name, "", "`"+f.value+"`: "+f.usage)
	}
	// They err only for a flag that does not exist.
	_ = cmd.RegisterFlagCompletionFunc("format", completeNames(func() []choice { return wordsAsChoices(proofTestFormats()) }))
	_ = cmd.RegisterFlagCompletionFunc("output", cobra.FixedCompletions(nil, cobra.ShellCompDirectiveDefault))
	for _, f := range proofTestFlags() {
		switch f.name {
		case "direction":
			_ = cmd.RegisterFlagCompletionFunc(f.name, completeNames(func() []choice { return wordsAsChoices([]string{"outward", "inward"}) }))
		case "schedule":
			_ = cmd.RegisterFlagCompletionFunc(f.name, completeNames(scheduleNames))
		default:
			_ = cmd.RegisterFlagCompletionFunc(f.name, cobra.NoFileCompletions)
		}
	}
	return cmd
}

func proofTestFormats() []string { return []string{"text", "json"} }

// take turns the flags of the call into changes of [prooftest].
func (c *proofTestCall) take(cmd *cobra.Command) error {
	var faults []error
	for _, f := range proofTestFlags() {
		if !cmd.Flags().Changed(f.name) {
			continue
		}
		text := cmd.Flags().Lookup(f.name).Value.String()
		var value any = text
		if f.number {
			n, err := strconv.ParseInt(text, 10, 64)
			if err != nil {
				faults = append(faults, fmt.Errorf("--%s %q: a whole number from 1 is wanted, such as --%s 3", f.name, text, f.name))
				continue
			}
			value = n
		}
		if f.takesOut != "" && !cmd.Flags().Changed(f.takesOut) {
			c.changes = append(c.changes, barrier.Change{Path: "prooftest." + f.takesOut})
		}
		c.changes = append(c.changes, barrier.Change{Path: "prooftest." + f.name, Value: value})
	}
	return errors.Join(faults...)
}

func (c *proofTestCall) run(ctx context.Context, stdin io.Reader, stdout io.Writer) error {
	a := answering{file: c.file, output: c.output, what: "the test"}
	return a.answer(ctx, stdout, func() foundAnswer { return c.find(ctx, stdin) })
}

// find takes the file from its bytes to what is written.
func (c *proofTestCall) find(ctx context.Context, stdin io.Reader) foundAnswer {
	v, err := readDocument(c.file, stdin)
	if err != nil {
		return foundAnswer{err: err}
	}
	d, err := v.doc.Definition(c.changes...)
	if err != nil {
		return foundAnswer{err: wrong(err)}
	}
	var o explore.ProofTestOptions
	if c.format != "json" { // what people read in does not change the words of it
		o.Units = d.Units
	}
	s, err := explore.TestOnSite(ctx, d, o)
	var none *explore.NoProofTestError
	switch {
	case errors.As(err, &none):
		return foundAnswer{err: wrong(fmt.Errorf("%s: %w", c.file, err))}
	case err != nil:
		return foundAnswer{err: noReport(c.file, err)}
	}
	var out bytes.Buffer
	if err := c.write(&out, s, o.Units); err != nil {
		return foundAnswer{err: noReport(c.file, err)}
	}
	return foundAnswer{output: out.Bytes()}
}

func (c *proofTestCall) write(out io.Writer, s *explore.ProofTest, units quantity.System) error {
	if c.format == "json" {
		return report.ProofTestJSON(out, s)
	}
	return report.ProofTestText(out, s, report.TextOptions{Units: units})
}
