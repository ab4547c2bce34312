package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"

	"github.com/spf13/cobra"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/report"
	"example.com/stanchion/internal/quantity"
)

// drawCall is one call of the draw command.
type drawCall struct {
	file   string
	what   string
	output string // file to write; empty for standard output
}

func drawCommand() *cobra.Command {
	var call drawCall
	cmd := &cobra.Command{
		Use:   "draw FILE",
		Short: "draw a barrier with its loads, moments or movements as SVG",
		Long: `draw checks a barrier and draws it as SVG, from the numbers of the report and to
scale:

  elevation  from the side, dimensioned: posts with numbers, members shaded by
             utilisation with the number beside them, and the governing load
  plan       from above: legs, posts, the hazard's side, the governing load
  deflected  how it moves under the load that governs its movement, enlarged,
             with the factor and the largest value
  moment     bending moment along the top rail and down the governing post
  influence  what a load at each place of the rail does to what governs
  base       the foot that governs, from the side: bolts by bearing, forces

A long run is drawn in rows, a very long one the rows that govern, with words on
what is left out. The drawing is ink in the colour of the page it stands in,
and asks for nothing from outside. A file named - is standard input.

-o FILE writes the drawing whole: FILE is replaced only when it is complete, and
is left as it was after any error.

It judges nothing, so that it ends with 0, 2 or 3 whatever the verdict is.

` + exitCodes,
		Example: `  stanchion draw gallery.toml -o gallery.svg                    # exit 0
  stanchion draw cable-gallery.toml --what plan -o plan.svg     # exit 0
  stanchion draw loading-bay.toml --what moment                 # exit 0
  stanchion draw boiler-gallery.toml --what base -o foot.svg    # exit 0
  stanchion draw - --what deflected < gallery.toml              # exit 0
  stanchion draw gallery.toml --what side                       # exit 2`,
		Args: func(cmd *cobra.Command, args []string) error {
			return errors.Join(takeOutput(cmd, &call.output), knownDrawing(call.what), takeFile(&call.file, args, "draw", "call it once for each"))
		},
		RunE: func(cmd *cobra.Command, _ []string) error {
			return call.run(cmd.Context(), cmd.InOrStdin(), cmd.OutOrStdout(), cmd.ErrOrStderr())
		},
		ValidArgsFunction: completeDefinitions(1),
	}
	flags := cmd.Flags()
	flags.StringVar(&call.what, "what", "elevation", "`DRAWING`: elevation, plan, deflected, moment, influence or base")
	flags.StringVarP(&call.output, "output", "o", "", "write the drawing to this `FILE` instead of standard output")
	// They err only for a flag that does not exist.
	_ = cmd.RegisterFlagCompletionFunc("what", completeNames(drawingChoices))
	_ = cmd.RegisterFlagCompletionFunc("output", cobra.FixedCompletions(nil, cobra.ShellCompDirectiveDefault))
	return cmd
}

func drawingChoices() (choices []choice) {
	names, about := report.DrawingNames()
	for i, name := range names {
		choices = append(choices, choice{name, about[i]})
	}
	return choices
}

// knownDrawing refuses a name that no drawing has.
func knownDrawing(what string) error {
	names, _ := report.DrawingNames()
	if slices.Contains(names, what) {
		return nil
	}
	return fmt.Errorf("--what %q: no drawing is called that; write %s", what, orOf(names))
}

func (c *drawCall) run(ctx context.Context, stdin io.Reader, stdout, stderr io.Writer) error {
	if err := writable(c.output, c.file); err != nil {
		return wrong(err)
	}
	found := make(chan outcome, 1) // nobody may be waiting any more
	go func() { found <- examine(c.file, stdin, "text", &wallsOf{}, check.Options{Diagrams: true}, c.write) }()
	f, err := await(ctx, found)
	switch {
	case err != nil:
		return err
	case f.err != nil:
		fmt.Fprintln(stderr, explain(f))
		return &ending{code: f.code}
	}
	return handOver(c.output, f.report, "the drawing", stdout)
}

// write draws what the call asks for.
func (c *drawCall) write(out io.Writer, r *check.Result, units quantity.System) error {
	return report.DrawingSVG(out, r, c.what, report.TextOptions{Units: units})
}
