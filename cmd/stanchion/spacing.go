package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/barrier/report"
	"example.com/stanchion/internal/quantity"
)

// spacingCall is one call of the spacing command.
type spacingCall struct {
	file             string
	format           string
	output           string // file to write; empty for standard output
	on, grid, downTo string // as typed; empty for what is not given
	options          explore.SpacingOptions
}

func spacingCommand() *cobra.Command {
	var call spacingCall
	cmd := &cobra.Command{
		Use:   "spacing FILE",
		Short: "find the largest spacing of posts at which nothing fails",
		Long: `spacing checks real layouts of the run, from the largest spacing of posts
downwards, and answers with the largest at which no check fails. It then goes on
to smaller ones, to --down-to or else to a third of it, at most 40 layouts on
either side of it, and tells of those that fail: a smaller spacing need not have
a smaller utilisation. Nothing is read off a curve. A file named - is standard
input.

The run, and each leg and each stretch between gaps for itself, is divided into
equal bays. With --grid the posts stand at multiples of it from the start of
that part, and what is left over is one odd bay at its end. --on gives the run
another length. Splices, gaps, braces and loads stay where the file has them; a
layout that they make impossible is refused, told with its reason, and never
passes.

Three columns are found, each by checks of its own: as declared; with no moment
in any joint and every rail cut at every post, so that no post helps another;
and with the softest foot where the file has a range of them. A largest spacing
that exists only by sharing is told as such.

--format svg is the plot of utilisation against spacing, html a page with it.
-o FILE writes what the name ends in, .svg, .html, .json or .csv; under any
other name the format asked for. FILE is replaced only when all is complete.

` + exitCodes + `
Here 0 says that a spacing was found with all of it checked, 1 that no spacing
passes, 3 that a larger layout could not be trusted (the rows are printed), 4
that the spacing holds for what was checked.`,
		Example: `  stanchion spacing gallery.toml                                    # exit 0
  stanchion spacing gallery.toml --grid "100 mm" --down-to "1.5 m"  # exit 0
  stanchion spacing gallery.toml --on "7.5 m" --down-to "1 m"       # exit 0
  stanchion spacing quay-gate.toml --down-to "2 m" --format csv     # exit 4
  stanchion spacing gallery.toml --down-to "1 m" -o page.html       # exit 0
  stanchion spacing gallery.toml --grid 50                          # exit 2`,
		Args: func(cmd *cobra.Command, args []string) error {
			return errors.Join(takeOutput(cmd, &call.output), takeFormat(cmd, &call.format, spacingFormats(), call.output, "json", "csv", "svg", "html"), call.take(cmd, args))
		},
		RunE: func(cmd *cobra.Command, _ []string) error {
			return call.run(cmd.Context(), cmd.InOrStdin(), cmd.OutOrStdout(), cmd.ErrOrStderr())
		},
		ValidArgsFunction: completeDefinitions(1),
	}
	flags := cmd.Flags()
	flags.StringVar(&call.format, "format", "text", "`FORMAT` of the output: text, json, csv, svg or html")
	flags.StringVarP(&call.output, "output", "o", "", "write to this `FILE`, in the format that its name ends in")
	flags.StringVar(&call.on, "on", "", "`LENGTH` of the run, such as \"6 m\", in place of that of the file")
	flags.StringVar(&call.grid, "grid", "", "set posts out at multiples of this `LENGTH`, such as \"50 mm\"")
	flags.StringVar(&call.downTo, "down-to", "", "look at spacings down to this `LENGTH`")
	// They err only for a flag that does not exist.
	_ = cmd.RegisterFlagCompletionFunc("format", completeNames(func() []choice { return wordsAsChoices(spacingFormats()) }))
	_ = cmd.RegisterFlagCompletionFunc("output", cobra.FixedCompletions(nil, cobra.ShellCompDirectiveDefault))
	for _, name := range []string{"on", "grid", "down-to"} {
		_ = cmd.RegisterFlagCompletionFunc(name, cobra.NoFileCompletions)
	}
	return cmd
}

func spacingFormats() []string { return []string{"text", "json", "csv", "svg", "html"} }

// take keeps the file and judges the call as a whole.
func (c *spacingCall) take(cmd *cobra.Command, args []string) error {
	if err := takeFile(&c.file, args, "spacing", `quote a length with a space, as in --grid "50 mm"`); err != nil {
		return err
	}
	for _, flag := range []struct {
		name, text string
		value      *float64
	}{{"on", c.on, &c.options.On}, {"grid", c.grid, &c.options.Grid}, {"down-to", c.downTo, &c.options.DownTo}} {
		if !cmd.Flags().Changed(flag.name) {
			continue
		}
		v, err := quantity.Parse(flag.text, quantity.Length)
		var fault *quantity.Error
		switch {
		case errors.As(err, &fault):
			return fmt.Errorf("--%s %q: %w; %s", flag.name, flag.text, err, fault.Fix)
		case err != nil:
			return fmt.Errorf("--%s %q: %w", flag.name, flag.text, err)
		}
		if v <= 0 {
			return fmt.Errorf("--%s %q: a length above 0 is wanted, such as \"50 mm\" or \"6 m\"", flag.name, flag.text)
		}
		*flag.value = v
	}
	return nil
}

func (c *spacingCall) run(ctx context.Context, stdin io.Reader, stdout, stderr io.Writer) error {
	a := answering{c.file, c.output, "the spacings", newProgress(stderr)}
	return a.answer(ctx, stdout, func() foundAnswer { return c.find(ctx, stdin, a.bar) })
}

// find takes the file from its bytes to what is written.
func (c *spacingCall) find(ctx context.Context, stdin io.Reader, bar *progress) foundAnswer {
	v, err := readVariants(c.file, stdin)
	if err != nil {
		return foundAnswer{err: err}
	}
	o := c.options
	o.Progress = bar.at
	if c.format != "json" && c.format != "csv" { // what people read in changes the words of neither
		o.Units = v.asWas.Units
	}
	s, err := explore.LargestSpacing(ctx, v.doc, o)
	if err != nil {
		return foundAnswer{err: noReport(c.file, err)}
	}
	var out bytes.Buffer
	if err := c.write(&out, s, report.TextOptions{Units: o.Units}); err != nil {
		return foundAnswer{err: noReport(c.file, err)}
	}
	return foundAnswer{code: spacingCode(s.Status), output: out.Bytes()}
}

// spacingCode is the code of an answer.
func spacingCode(status check.Status) int {
	if status == explore.NotTrusted {
		return exitUntrusted
	}
	return exitCode(status)
}

func (c *spacingCall) write(out io.Writer, s *explore.Spacing, o report.TextOptions) error {
	switch c.format {
	case "json":
		return report.SpacingJSON(out, s)
	case "csv":
		return report.SpacingCSV(out, s)
	case "svg":
		return report.SpacingSVG(out, s, o)
	case "html":
		return report.SpacingHTML(out, s, o)
	}
	return report.SpacingText(out, s, o)
}
