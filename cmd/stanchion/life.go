package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/barrier/report"
	"example.com/stanchion/sections"
)

// lifeCall is one call of the life command.
type lifeCall struct {
	file    string
	format  string
	output  string // file to write; empty for standard output
	rate    string // as typed; empty for all
	options explore.LifeOptions
}

func lifeCommand() *cobra.Command {
	var call lifeCall
	cmd := &cobra.Command{
		Use:   "life FILE",
		Short: "check a barrier on the walls that years of weather leave",
		Long: `life checks a barrier year by year on the walls that the weather of [exposure]
leaves, at the low, the middle and the high end of its rates: paint and zinc go
first, then the steel. It tells when each surface is bare, the utilisation of
every check at every year, from when on a check fails and which, from when on
the code does not cover the wall that is left, and suggests the next inspection.
A file named - is standard input.

Strength is judged on the thinnest wall, at the foot and at fittings. Without
at_foot and at_fitting in [exposure] nothing says how much more is lost there:
they are then listed as not covered, and the answer holds for what was checked.
Corrosion rates are ranges for a class of air; a year that follows from them is
no promise.

--format svg and png are the plot of utilisation against the years, html a page
with it. -o FILE writes what the name ends in, .svg, .png, .html, .json or .csv;
under any other name the format asked for. FILE is replaced only when all is
complete. --rate tells one rate alone.

` + exitCodes + `
Here 0 says that the life was worked out with all of it checked, whether it ends
within the years or not, 1 that the barrier fails at year 0, 3 that a year could
not be trusted (the rows are printed), 4 that the life holds for what was
checked.`,
		Example: `  stanchion life spray-walk.toml                              # exit 0
  stanchion life spray-walk.toml --years 25 --rate middle     # exit 0
  stanchion life spray-walk.toml --format csv                 # exit 0
  stanchion life spray-walk.toml -o page.html                 # exit 0
  stanchion life gallery.toml                                 # exit 2`,
		Args: func(cmd *cobra.Command, args []string) error {
			return errors.Join(takeOutput(cmd, &call.output), takeFormat(cmd, &call.format, lifeFormats(), call.output, "json", "csv", "svg", "png", "html"), call.take(cmd, args))
		},
		RunE: func(cmd *cobra.Command, _ []string) error {
			return call.run(cmd.Context(), cmd.InOrStdin(), cmd.OutOrStdout(), cmd.ErrOrStderr())
		},
		ValidArgsFunction: completeDefinitions(1),
	}
	flags := cmd.Flags()
	flags.StringVar(&call.format, "format", "text", "`FORMAT` of the output: text, json, csv, svg, png or html")
	flags.StringVarP(&call.output, "output", "o", "", "write to this `FILE`, in the format that its name ends in")
	call.options.Years, call.options.Step = 50, 1
	flags.Var((*years)(&call.options.Years), "years", "the last `YEAR` to look at")
	flags.Var((*years)(&call.options.Step), "step", "`YEARS` from one check to the next")
	flags.StringVar(&call.rate, "rate", "", "`RATE` to tell alone: low, middle or high")
	// They err only for a flag that does not exist.
	_ = cmd.RegisterFlagCompletionFunc("format", completeNames(func() []choice { return wordsAsChoices(lifeFormats()) }))
	_ = cmd.RegisterFlagCompletionFunc("output", cobra.FixedCompletions(nil, cobra.ShellCompDirectiveDefault))
	_ = cmd.RegisterFlagCompletionFunc("rate", completeNames(func() []choice { return wordsAsChoices(rateNames()) }))
	for _, name := range []string{"years", "step"} {
		_ = cmd.RegisterFlagCompletionFunc(name, cobra.NoFileCompletions)
	}
	return cmd
}

func lifeFormats() []string { return []string{"text", "json", "csv", "svg", "png", "html"} }

// take keeps the file and judges the call as a whole.
func (c *lifeCall) take(cmd *cobra.Command, args []string) error {
	if err := takeFile(&c.file, args, "life", "call it once for each"); err != nil {
		return err
	}
	if c.rate != "" || cmd.Flags().Changed("rate") {
		level, err := rateNamed(c.rate)
		if err != nil {
			return err
		}
		c.options.Levels = []sections.RateLevel{level}
	}
	if !(c.options.Years > 0 && c.options.Years <= explore.MostYears) {
		return fmt.Errorf("--years %g: a number of years above 0, up to %d, is wanted", c.options.Years, explore.MostYears)
	}
	if !cmd.Flags().Changed("step") {
		c.options.Step = min(c.options.Step, c.options.Years)
	}
	if !(c.options.Step > 0) {
		return fmt.Errorf("--step %g: a number of years above 0 is wanted", c.options.Step)
	}
	return nil
}

func (c *lifeCall) run(ctx context.Context, stdin io.Reader, stdout, stderr io.Writer) error {
	a := answering{c.file, c.output, "the life", newProgress(stderr)}
	return a.answer(ctx, stdout, func() foundAnswer { return c.find(ctx, stdin, a.bar) })
}

// find takes the file from its bytes to what is written.
func (c *lifeCall) find(ctx context.Context, stdin io.Reader, bar *progress) foundAnswer {
	v, err := readVariants(c.file, stdin)
	if err != nil {
		return foundAnswer{err: err}
	}
	if v.asWas.Exposure == nil {
		return foundAnswer{err: wrong(noExposure(c.file))}
	}
	o := c.options
	o.Progress = bar.at
	if c.format != "json" && c.format != "csv" { // what people read in changes the words of neither
		o.Units = v.asWas.Units
	}
	l, err := explore.LifeOf(ctx, v.asWas, o)
	if err != nil {
		return foundAnswer{err: noReport(c.file, err)}
	}
	var out bytes.Buffer
	if err := c.write(&out, l, report.TextOptions{Units: o.Units}); err != nil {
		return foundAnswer{err: noReport(c.file, err)}
	}
	return foundAnswer{code: spacingCode(l.Status), output: out.Bytes()}
}

func (c *lifeCall) write(out io.Writer, l *explore.Life, o report.TextOptions) error {
	switch c.format {
	case "json":
		return report.LifeJSON(out, l)
	case "csv":
		return report.LifeCSV(out, l)
	case "svg":
		return report.LifeSVG(out, l, o)
	case "png":
		return report.LifePNG(out, l, o)
	case "html":
		return report.LifeHTML(out, l, o)
	}
	return report.LifeText(out, l, o)
}
