package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/internal/quantity"
)

// checkCall is one call of the check command.
type checkCall struct {
	files   []string
	several bool // one line for each file and a tally, though there be one file alone
	format  string
	table   string // of --format csv
	output  string // file to write; empty for standard output
	trails  bool
	feet    bool // base actions of every post
	full    bool // the reports of several files, not one line each alone
	walls   wallsOf
	watch   bool // run again on each save

	tablesTo string // folder for a file of each table; empty for none
}

// reports tells whether the text is to have the whole report of each file. What
// is added to reports asks for them.
func (c *checkCall) reports() bool {
	return !c.several || c.full || c.trails || c.feet
}

func checkCommand() *cobra.Command {
	var call checkCall
	cmd := &cobra.Command{
		Use:   "check FILE|FOLDER...",
		Short: "check barriers and print a report, or one line for each file",
		Long: `check reads a barrier from a TOML file and prints a report: cautions, verdict,
what holds it back, load path, posts, rails, braces, fittings, wall ends, feet,
their bolts, checks, geometry rules, hand checks, what is not checked,
assumptions, loads, inputs, sources and self-check. A file named - is standard
input. The text report shows the worst rows and all that fail, of a long run the
worst of them with the number of the rest; --format json and csv have every row.
How one of them came about is told by stanchion explain.

A folder stands for its files that end in .toml, in the order of their names;
hidden ones and folders within it are left out.

Several files are checked at the same time and told in the order given: in text
one line each as soon as its turn has come (verdict, utilisation, what governs,
file) and at the end how many passed, failed, are incomplete, not trusted or not
read. --full prints their reports before the lines; --trails and
--all-base-actions bring --full with them. What is wrong with a file goes to
standard error, again by name at the end, and the others are checked all the
same. No file knows of another, so that a list can be parted among machines.

--format json   one document after the other, none for a file without a report
--format jsonl  one line for each file: {"file", "exit_code", "result"}, or
                "error" and "problems" in place of the result
--format csv    every row of one table of the results, by --table; the file
                stands in the first column; --table all has all tables, behind a
                column that names the table
--format html   a page of one barrier with its drawings, and the working of each
                check folded under it; it needs no other file and no network
--format pdf    the same as pages of A4, or of Letter where units = "US", the
                working of each check below its table; not to a terminal
--format md     the same in GitHub-flavoured Markdown, without the drawings

--tables-to FOLDER writes a file for each table of one barrier, posts.csv among
them, in place of a report. FOLDER is made where it is not there.

--at-year 25 checks the walls that the weather of [exposure] leaves at that
year, at the high end of its rates or at that of --rate, and says so in the head
of the report; without it the barrier is checked as new.

--watch runs the check anew on each save of the file, below a line, and goes on
when the file is wrong; Ctrl-C ends it.

-o FILE writes the report whole, in the format that the name ends in (.txt,
.json, .jsonl, .csv, .html, .md, .pdf) or else in the one asked for. FILE is
replaced only when the report is complete, and left as it was after any error.

` + exitCodes,
		Example: `  stanchion check gallery.toml                            # exit 0
  stanchion check loading-bay.toml                        # exit 1
  stanchion check --format json -o pit.json pump-pit.toml # exit 0
  stanchion check -o gallery.html gallery.toml            # exit 0
  stanchion check -o gallery.pdf gallery.toml             # exit 0
  stanchion check gallery.toml valve-platform.toml        # exit 4
  stanchion check --full gallery.toml loading-bay.toml    # exit 1
  stanchion check --format jsonl gallery.toml             # exit 0
  stanchion check --format csv --table posts gallery.toml # exit 0
  stanchion check --tables-to tables gallery.toml         # exit 0
  stanchion check --at-year 25 spray-walk.toml            # exit 1
  stanchion check --watch gallery.toml                    # until Ctrl-C, 130
  stanchion check --trails - < gallery.toml               # exit 0`,
		Args: func(cmd *cobra.Command, args []string) error {
			if err := takeOutput(cmd, &call.output); err != nil {
				return err
			}
			if err := call.takeFormat(cmd); err != nil {
				return err
			}
			if err := call.takeTablesTo(cmd); err != nil {
				return err
			}
			if cmd.Flags().Changed("table") && call.format != "csv" {
				return errors.New("--table chooses among the tables of --format csv")
			}
			if err := call.walls.take(cmd); err != nil {
				return err
			}
			if err := call.take(args); err != nil {
				return err
			}
			return call.watchable()
		},
		RunE: func(cmd *cobra.Command, _ []string) error {
			if call.watch {
				return call.runWatching(cmd.Context(), cmd.OutOrStdout(), cmd.ErrOrStderr())
			}
			return call.run(cmd.Context(), cmd.InOrStdin(), cmd.OutOrStdout(), cmd.ErrOrStderr())
		},
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return []string{"toml"}, cobra.ShellCompDirectiveFilterFileExt
		},
	}
	flags := cmd.Flags()
	call.addFormat(cmd)
	flags.StringVarP(&call.output, "output", "o", "", "write the report to this `FILE` instead of standard output")
	// It errs only for a flag that does not exist.
	_ = cmd.RegisterFlagCompletionFunc("output", cobra.FixedCompletions(nil, cobra.ShellCompDirectiveDefault))
	flags.BoolVar(&call.trails, "trails", false, "add the working of the governing checks, step by step")
	flags.BoolVar(&call.watch, "watch", false, "run anew on each save of the file, until Ctrl-C")
	flags.BoolVar(&call.full, "full", false, "with several files print the report of each, then the lines")
	call.walls.addWalls(cmd)
	flags.BoolVar(&call.feet, "all-base-actions", false, "base actions of every post, not of some alone")
	return cmd
}

// addFormat gives a command its --format flag.
func addFormat(cmd *cobra.Command, format *string) {
	cmd.Flags().StringVar(format, "format", "text", "`FORMAT` of the output: text or json")
	// It errs only for a flag that does not exist.
	_ = cmd.RegisterFlagCompletionFunc("format", completeNames(formats))
}

func formats() []choice { return []choice{{name: "text"}, {name: "json"}} }

func knownFormat(format string) error {
	if format != "text" && format != "json" {
		return fmt.Errorf("unknown format %q: write text or json", format)
	}
	return nil
}

// take keeps the files, those of folders among them, and judges the call as a whole.
func (c *checkCall) take(named []string) error {
	if len(named) == 0 {
		return errors.New("no file is given: name a TOML file, a folder of them, or - for standard input")
	}
	if err := c.knownTable(); err != nil {
		return err
	}
	files, folders := unfold(named)
	c.files, c.several = files, len(named) > 1 || folders > 0
	if c.output != "" && c.several {
		return fmt.Errorf("-o takes the report of one file, and %d files are given: call check once for each, or send standard output to a file", len(files))
	}
	if c.tablesTo != "" && c.several {
		return fmt.Errorf("--tables-to takes the tables of one file, and %d files are given: call check once for each, or write --format csv --table all", len(files))
	}
	if c.several && formatNamed(c.format).page != nil {
		return fmt.Errorf("--format %s is a sheet of one barrier: call check once for each file, by its name", c.format)
	}
	stdins := 0
	for _, file := range files {
		if file == "-" {
			stdins++
		}
	}
	if stdins > 1 {
		return errors.New("standard input (-) can be read once only")
	}
	return nil
}

// outcome is what became of one file.
type outcome struct {
	file    string
	code    int
	verdict verdict
	report  []byte                // nil when there is none
	tables  []savedTable          // of --tables-to
	stream  func(io.Writer) error // writes the report in place of report; nil when there is none
	err     error
}

// write writes the report. Its error is an *ending.
func (f *outcome) write(out io.Writer) error {
	if f.stream == nil {
		if _, err := out.Write(f.report); err != nil {
			return wrong(fmt.Errorf("writing the report: %w", err))
		}
		return nil
	}
	to := &witness{to: out}
	var late outcome
	func() {
		defer catch(&late, f.file)
		late.err = f.stream(to)
	}()
	switch {
	case to.err != nil:
		return wrong(fmt.Errorf("writing the report: %w", to.err))
	case late.err != nil:
		late.file, late.code = f.file, exitUntrusted
		return &ending{exitUntrusted, errors.New(strings.TrimPrefix(explain(late), "stanchion: "))}
	}
	return nil
}

// witness keeps the first error of what it writes to.
type witness struct {
	to  io.Writer
	err error
}

func (w *witness) Write(p []byte) (int, error) {
	n, err := w.to.Write(p)
	if err != nil && w.err == nil {
		w.err = err
	}
	return n, err
}

// replaceable refuses an output that could not be written, or must not be.
func (c *checkCall) replaceable() error {
	if err := writable(c.output, c.files[0]); err != nil {
		return err
	}
	if c.tablesTo != "" {
		return folderFor(c.tablesTo, c.files[0])
	}
	return nil
}

func (c *checkCall) run(ctx context.Context, stdin io.Reader, stdout, stderr io.Writer) error {
	if err := c.shows(stdout); err != nil {
		return wrong(err)
	}
	if err := c.replaceable(); err != nil {
		return wrong(err)
	}
	code := exitPass
	show := c.delivery(stdout)
	var without missing
	err := explore.InOrder(ctx, len(c.files), func(i int) outcome { return c.examine(c.files[i], stdin) }, func(_ int, f outcome) error {
		if f.err != nil {
			fmt.Fprintln(stderr, explain(f))
			without.note(f)
		}
		code = worse(code, f.code)
		return show.deliver(f)
	})
	if err != nil && errors.Is(err, ctx.Err()) {
		return interrupted()
	}
	if err == nil {
		err = show.end()
	}
	if c.several {
		without.list(stderr, len(c.files))
	}
	if err != nil {
		return err
	}
	if code == exitPass {
		return nil
	}
	return &ending{code: code}
}

func interrupted() error { return &ending{exitInterrupted, errors.New("interrupted")} }

// await waits for one file, and gives up when the call is interrupted.
func await(ctx context.Context, found <-chan outcome) (outcome, error) {
	select {
	case f := <-found:
		if ctx.Err() == nil {
			return f, nil
		}
	case <-ctx.Done():
	}
	return outcome{}, interrupted()
}

// examine takes one file from its bytes to its report. That of a single file, which may be long,
// is written when it is delivered, and never held whole.
func (c *checkCall) examine(file string, stdin io.Reader) outcome {
	page := formatNamed(c.format).page != nil
	options := check.Options{Trails: c.trails || page, Diagrams: page, AllBaseActions: c.feet}
	if c.several {
		f := examine(file, stdin, c.format, &c.walls, options, func(out io.Writer, result *check.Result, units quantity.System) error {
			return c.render(out, file, result, units)
		})
		return c.withLine(f)
	}
	f, result, units := calculate(file, stdin, c.format, &c.walls, options)
	switch {
	case result == nil:
	case c.tablesTo != "":
		f.tables = tablesOf(file, result)
	default:
		f.stream = func(out io.Writer) error { return c.render(out, file, result, units) }
	}
	return c.withLine(f)
}

// examine takes one file from its bytes to what is written of its result. A bug that panics
// on the way gives no report, and not the exit code of a wrong input.
func examine(file string, stdin io.Reader, format string, walls *wallsOf, o check.Options, write func(io.Writer, *check.Result, quantity.System) error) (f outcome) {
	defer catch(&f, file)
	f, result, units := calculate(file, stdin, format, walls, o)
	if result == nil {
		return f
	}
	var out bytes.Buffer
	if err := write(&out, result, units); err != nil {
		var end *ending
		if errors.As(err, &end) {
			return outcome{file: file, code: end.code, err: end.err}
		}
		return outcome{file: file, code: exitUntrusted, err: err}
	}
	f.report = out.Bytes()
	return f
}

// catch makes an outcome of a bug that panics.
func catch(f *outcome, file string) {
	if bug := recover(); bug != nil {
		*f = outcome{file: file, code: exitUntrusted, err: fmt.Errorf("bug in the program: %v\n%s", bug, debug.Stack())}
	}
}

// calculate takes one file from its bytes to its result, nil where the outcome says why there is
// none, and the units in which people read it.
func calculate(file string, stdin io.Reader, format string, walls *wallsOf, o check.Options) (f outcome, result *check.Result, units quantity.System) {
	defer catch(&f, file)
	data, err := read(file, stdin)
	if err != nil {
		return outcome{file: file, code: exitWrong, err: err}, nil, 0
	}
	definition, err := barrier.Parse(file, data)
	if err != nil {
		return outcome{file: file, code: exitWrong, err: err}, nil, 0
	}
	if definition, err = walls.of(file, definition); err != nil {
		return outcome{file: file, code: exitOfWalls(err), err: err}, nil, 0
	}
	o.Units = definition.Units
	if format == "json" || format == "jsonl" || format == "csv" {
		o.Units = quantity.Metric // what people read in never changes what programs read
	}
	result, err = check.Run(definition, o)
	if err != nil {
		return outcome{file: file, code: exitOf(err), err: err}, nil, 0
	}
	return outcome{file: file, code: exitCode(result.Status), verdict: verdictOf(result)}, result, o.Units
}

// exitOf is the code of a check that gave no result: what the definition or an
// option is to blame for is wrong input, anything else an untrusted calculation.
func exitOf(err error) int {
	var problems barrier.Problems
	var option *explore.WrongOption
	if errors.As(err, &problems) || errors.As(err, &option) {
		return exitWrong
	}
	return exitUntrusted
}

// exitOfWalls is the code of walls that could not be had: where none is left the barrier fails.
func exitOfWalls(err error) int {
	if _, gone := errors.AsType[*barrier.GoneError](err); gone {
		return exitFail
	}
	return exitWrong
}

// explain tells why a file has no report. The problems of a definition say
// themselves where they are.
func explain(f outcome) string {
	var problems barrier.Problems
	if errors.As(f.err, &problems) {
		return problems.Error()
	}
	if f.code == exitUntrusted {
		return fmt.Sprintf("stanchion: %s: no report: %v", f.file, f.err)
	}
	if f.code == exitFail {
		return fmt.Sprintf("stanchion: %s: fails, and there is no report: %v", f.file, f.err)
	}
	return fmt.Sprintf("stanchion: %v", f.err)
}
