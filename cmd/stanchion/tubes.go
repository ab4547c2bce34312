package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"

	"github.com/spf13/cobra"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/barrier/report"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/sections"
)

// tubesCall is one call of the tubes command.
type tubesCall struct {
	file, stock, from string
	filter            tubesFilter
	rails             string // "same" or "any"
	by                string
	rankAt            string // "given" or "largest"
	largest           bool   // each candidate's largest spacing is sought
	top               int    // rows that are told; 0 for all
	format, output    string
}

// tubesFilter is the filter as it is typed.
type tubesFilter struct {
	explore.TubeFilter
	largestOD, smallestOD, largestWall, smallestWall string
}

func tubesCommand() *cobra.Command {
	var call tubesCall
	cmd := &cobra.Command{
		Use:   "tubes FILE",
		Short: "compare tubes for the posts and rails of a barrier",
		Long: `tubes checks the barrier of a TOML file with other tubes in place of its own,
each a whole check of a real layout, and ranks them by the mass of posts, rails
and fittings for each metre of run, or by cost: those that pass, then those that
do not fail but are not checked in full, then those that fail, of which the
first check that was found to fail is told, and not the worst.

The candidates are the tubes of the tables in each grade of their standard, or,
where the file has a [stock] with tubes or --stock names a list, the tubes of
that stock. A list is CSV with the columns tube and grade, and where wanted use
(post, rail or both) and price_per_m or price_per_ft. Filters take tubes out of
either. A tube that the definition refuses is listed with the reason.

Beside each stand utilisation and what governs, base moment, slip in fittings,
deflection and feet; with --largest-spacing also the largest spacing at which
nothing fails, in whole bays, with mass and feet there. Those are marked that no
other beats in mass, deflection and feet at once (Pareto set). Text tells the
first 20 rows, JSON and CSV all; --top N changes that.

An interrupt ranks and tells what was tried by then.

` + exitCodes + `
Here 3 says that the calculation of a candidate could not be trusted; else 0
that one passes, 4 that none passes and one does not fail, 1 that all fail.`,
		Example: `  stanchion tubes gallery.toml --standard "EN 10255"             # exit 0
  stanchion tubes vat-house.toml --rails any --largest-spacing   # exit 0
  stanchion tubes vat-house.toml --stock yard.csv --by cost      # exit 0
  stanchion tubes loading-bay.toml --standard "EN 39"            # exit 1`,
		Args: func(cmd *cobra.Command, args []string) error {
			var faults []error
			faults = append(faults, takeOutput(cmd, &call.output))
			if cmd.Flags().Changed("top") && call.top < 1 {
				faults = append(faults, fmt.Errorf("--top %d: write how many rows are wanted, 1 or more", call.top))
			}
			faults = append(faults, call.take(args), takeFormat(cmd, &call.format, tubesFormats(), call.output, "json", "csv"))
			return errors.Join(faults...)
		},
		RunE: func(cmd *cobra.Command, _ []string) error {
			return call.run(cmd.Context(), cmd.InOrStdin(), cmd.OutOrStdout(), cmd.ErrOrStderr())
		},
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return []string{"toml"}, cobra.ShellCompDirectiveFilterFileExt
		},
	}
	call.addFlags(cmd)
	return cmd
}

func (c *tubesCall) addFlags(cmd *cobra.Command) {
	flags, filter := cmd.Flags(), &c.filter
	flags.StringSliceVar(&filter.Standards, "standard", nil, "only tubes of these `STANDARDS`, such as \"EN 10219\"")
	flags.StringSliceVar(&filter.Grades, "grade", nil, "only these `GRADES`")
	flags.StringSliceVar(&filter.Materials, "material", nil, "only tubes of these `MATERIALS`: steel, stainless, aluminium")
	flags.StringVar(&filter.largestOD, "largest-od", "", "largest outside `DIAMETER`, such as \"60.3 mm\"")
	flags.StringVar(&filter.smallestOD, "smallest-od", "", "smallest outside `DIAMETER`")
	flags.StringVar(&filter.largestWall, "largest-wall", "", "largest nominal `WALL`")
	flags.StringVar(&filter.smallestWall, "smallest-wall", "", "smallest nominal `WALL`, such as \"2.6 mm\"")
	flags.StringVar(&c.stock, "stock", "", "take the tubes of this CSV `FILE`")
	flags.StringVar(&c.from, "from", "", "take the candidates `FROM` tables or stock (default: stock where there is one)")
	flags.StringVar(&c.rails, "rails", "same", "`TUBE` of the rails: same as that of the posts, or any")
	flags.StringVar(&c.by, "by", "mass", "rank by `WHAT`: mass or cost")
	flags.BoolVar(&c.largest, "largest-spacing", false, "seek the largest spacing of each candidate too")
	flags.StringVar(&c.rankAt, "rank-at", "given", "rank at the `SPACING` given, or at the largest of each")
	flags.IntVar(&c.top, "top", 0, "tell the first `N` rows (default 20 in text, all in JSON and CSV)")
	flags.StringVar(&c.format, "format", "text", "`FORMAT` of the output: text, json or csv")
	flags.StringVarP(&c.output, "output", "o", "", "write to this `FILE`, in the format that its name ends in")
	for name, words := range map[string][]string{
		"material": {string(sections.Steel), string(sections.Stainless), string(sections.Aluminium)},
		"from":     {"tables", "stock"}, "rails": {"same", "any"}, "by": {"mass", "cost"}, "rank-at": {"given", "largest"},
		"format": tubesFormats(),
	} {
		_ = cmd.RegisterFlagCompletionFunc(name, completeNames(func() []choice { return wordsAsChoices(words) }))
	}
	_ = cmd.RegisterFlagCompletionFunc("standard", completeNames(tubeStandards))
	_ = cmd.RegisterFlagCompletionFunc("grade", completeNames(gradeNames))
	_ = cmd.RegisterFlagCompletionFunc("stock", cobra.FixedCompletions([]string{"csv"}, cobra.ShellCompDirectiveFilterFileExt))
	_ = cmd.RegisterFlagCompletionFunc("output", cobra.FixedCompletions(nil, cobra.ShellCompDirectiveDefault))
}

func tubesFormats() []string { return []string{"text", "json", "csv"} }

func wordsAsChoices(words []string) []choice {
	var choices []choice
	for _, word := range words {
		choices = append(choices, choice{name: word})
	}
	return choices
}

// tubeStandards has each standard of tube once.
func tubeStandards() []choice {
	var standards []choice
	for _, tube := range sections.Tubes() {
		if c := (choice{name: tube.Standard}); !slices.Contains(standards, c) {
			standards = append(standards, c)
		}
	}
	return standards
}

// take keeps the file and judges the call as a whole, all faults at once.
func (c *tubesCall) take(files []string) error {
	var faults []error
	if err := takeFile(&c.file, files, "tubes", `quote a value with a space, as in --largest-od "60.3 mm"`); err != nil {
		faults = append(faults, err)
	}
	for _, flag := range []struct {
		name, value string
		words       []string
	}{
		{"from", c.from, []string{"tables", "stock"}},
		{"rails", c.rails, []string{"same", "any"}},
		{"by", c.by, []string{"mass", "cost"}},
		{"rank-at", c.rankAt, []string{"given", "largest"}},
	} {
		if !slices.Contains(flag.words, flag.value) && (flag.name != "from" || flag.value != "") {
			faults = append(faults, fmt.Errorf("--%s %q: write %s", flag.name, flag.value, orOf(flag.words)))
		}
	}
	if c.from == "tables" && c.stock != "" {
		faults = append(faults, errors.New("--from tables and --stock exclude each other: keep one"))
	}
	c.largest = c.largest || c.rankAt == "largest"
	return errors.Join(faults...)
}

func (c *tubesCall) run(ctx context.Context, stdin io.Reader, stdout, stderr io.Writer) error {
	if err := writable(c.output, c.file, c.stock); err != nil {
		return wrong(err)
	}
	v, err := readVariants(c.file, stdin)
	if err != nil {
		return err
	}
	d := v.asWas
	options := explore.TubeOptions{By: explore.RankedBy(c.by), LargestSpacing: c.largest, RankAtLargest: c.rankAt == "largest", Units: d.Units, RailsDiffer: c.rails == "any"}
	if c.format != "text" {
		options.Units = quantity.Metric // what people read in never changes the data
	}
	candidates, err := c.candidates(d, &options)
	if err != nil {
		return wrong(err)
	}
	bar := newProgress(stderr)
	options.Progress = bar.at
	ranking, err := explore.Tubes(ctx, v.doc, candidates, options)
	bar.erase()
	interrupted := err != nil && ctx.Err() != nil
	if err != nil && !interrupted {
		return noReport(c.file, err)
	}
	return c.tell(ranking, options.Units, interrupted, stdout)
}

// candidates makes the candidates of the tables or of the stock, and keeps in the options what
// they cost.
func (c *tubesCall) candidates(d *barrier.Definition, o *explore.TubeOptions) ([]explore.Candidate, error) {
	stock, err := c.stockOf(d)
	if err != nil {
		return nil, err
	}
	all := explore.FromTables()
	o.From = "tables"
	if stock != nil {
		all = explore.FromStock(stock)
		o.From = "stock"
	}
	filter, err := c.filter.read(d.Units)
	if err != nil {
		return nil, err
	}
	kept, err := filter.Keep(all)
	if err != nil {
		return nil, err
	}
	kept, o.WithoutGrade = explore.Graded(kept)
	if o.By == explore.ByCost {
		if err := o.Price(stock, kept); err != nil {
			return nil, err
		}
	}
	return explore.Pairs(kept, o.RailsDiffer)
}

// stockOf returns the stock whose tubes are the candidates; nil for those of the tables.
func (c *tubesCall) stockOf(d *barrier.Definition) (*barrier.Stock, error) {
	if c.stock == "-" {
		return nil, errors.New("--stock -: standard input is no list of tubes, name a CSV file")
	}
	if c.stock != "" {
		data, err := read(c.stock, nil)
		if err != nil {
			return nil, err
		}
		return barrier.ReadStock(c.stock, data, d)
	}
	has := d.Stock != nil && len(d.Stock.Tubes) > 0
	if c.from == "stock" && !has {
		return nil, errors.New("--from stock: the file lists no tubes; add [[stock.tubes]] to it, or name a list with --stock FILE.csv")
	}
	if c.from == "tables" || !has {
		return nil, nil
	}
	return d.Stock, nil
}

// read reads the sizes of the filter.
func (f *tubesFilter) read(units quantity.System) (explore.TubeFilter, error) {
	out := f.TubeFilter
	var faults []error
	for _, size := range []struct {
		flag, text string
		to         *float64
	}{
		{"largest-od", f.largestOD, &out.LargestOD},
		{"smallest-od", f.smallestOD, &out.SmallestOD},
		{"largest-wall", f.largestWall, &out.LargestWall},
		{"smallest-wall", f.smallestWall, &out.SmallestWall},
	} {
		if size.text == "" {
			continue
		}
		v, err := quantity.ParseValue(size.text, quantity.Length, units)
		switch {
		case err != nil:
			faults = append(faults, fmt.Errorf("--%s: %s", size.flag, quantityFault(err)))
		case !(v > 0):
			faults = append(faults, fmt.Errorf("--%s %q: write a length of more than 0", size.flag, size.text))
		default:
			*size.to = v
		}
	}
	return out, errors.Join(faults...)
}

// quantityFault says what is wrong with a quantity and what would be right.
func quantityFault(err error) string {
	if fault, ok := errors.AsType[*quantity.Error](err); ok && fault.Fix != "" {
		return fault.Error() + "; " + fault.Fix
	}
	return err.Error()
}

// tell writes the comparison whole and ends with its code.
func (c *tubesCall) tell(r *explore.TubeRanking, units quantity.System, interrupted bool, stdout io.Writer) error {
	code := tubesCode(r)
	switch {
	case c.top > 0:
		r.Top(c.top)
	case c.format == "text":
		r.Top(20)
	}
	var out bytes.Buffer
	if err := c.write(&out, r, units); err != nil {
		return &ending{exitUntrusted, err}
	}
	if err := handOver(c.output, out.Bytes(), "the comparison", stdout); err != nil {
		return err
	}
	switch {
	case interrupted:
		return &ending{exitInterrupted, fmt.Errorf("interrupted: %d of %d candidates", r.Done, r.Candidates)}
	case code != exitPass:
		return &ending{code: code}
	}
	return nil
}

func (c *tubesCall) write(out io.Writer, r *explore.TubeRanking, units quantity.System) error {
	switch c.format {
	case "json":
		return report.TubesJSON(out, r)
	case "csv":
		return report.TubesCSV(out, r)
	}
	return report.TubesText(out, r, report.TextOptions{Units: units})
}

// tubesCode is the code of a comparison.
func tubesCode(r *explore.TubeRanking) int {
	switch {
	case len(r.NotTrusted) > 0:
		return exitUntrusted
	case r.Pass > 0:
		return exitPass
	case r.Incomplete > 0:
		return exitIncomplete
	}
	return exitFail
}
