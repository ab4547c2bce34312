package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"runtime"
	"runtime/debug"
	"sync/atomic"

	"github.com/spf13/cobra"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/report"
	"example.com/stanchion/internal/quantity"
)

// checkCall is one call of the check command.
type checkCall struct {
	files  []string
	format string
	output string // file to write; empty for standard output
	trails bool
	feet   bool // base actions of every post
	full   bool // the reports of several files, not one line each alone
}

// reports tells whether the text is to have the whole report of each file. What
// is added to reports asks for them.
func (c *checkCall) reports() bool {
	return len(c.files) == 1 || c.full || c.trails || c.feet
}

func checkCommand() *cobra.Command {
	var call checkCall
	cmd := &cobra.Command{
		Use:   "check FILE...",
		Short: "check barriers and print a report, or one line for each file",
		Long: `check reads a barrier from a TOML file and prints a report: cautions, verdict,
what holds it back, load path, posts, rails, braces, fittings, wall ends, feet,
their bolts, checks, geometry rules, hand checks, what is not checked,
assumptions, loads, inputs, sources and self-check. A file named - is standard
input. The text report shows the worst rows and all that fail; --format json has
every row. How one of them came about is told by stanchion explain.

Several files are checked at the same time and told in the order given: in text
one line each as soon as its turn has come (verdict, utilisation, what governs,
file) and at the end how many passed, failed, are incomplete, not trusted or not
read. --full prints their reports before the lines; --trails and
--all-base-actions bring --full with them. JSON is one document after the other,
none for a file without a report. What is wrong with a file goes to standard
error, and the others are checked all the same.

-o FILE writes the report whole: FILE is replaced only when the report is
complete, and is left as it was after any error.

` + exitCodes,
		Example: `  stanchion check gallery.toml                            # exit 0
  stanchion check loading-bay.toml                        # exit 1
  stanchion check --format json -o pit.json pump-pit.toml # exit 0
  stanchion check gallery.toml valve-platform.toml        # exit 4
  stanchion check --full gallery.toml loading-bay.toml    # exit 1
  stanchion check --trails - < gallery.toml               # exit 0`,
		Args: func(cmd *cobra.Command, args []string) error {
			if cmd.Flags().Changed("output") && call.output == "" {
				return errors.New("-o names no file: write -o FILE, or -o - for standard output")
			}
			if call.output == "-" {
				call.output = ""
			}
			return call.take(args)
		},
		RunE: func(cmd *cobra.Command, _ []string) error {
			return call.run(cmd.Context(), cmd.InOrStdin(), cmd.OutOrStdout(), cmd.ErrOrStderr())
		},
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return []string{"toml"}, cobra.ShellCompDirectiveFilterFileExt
		},
	}
	flags := cmd.Flags()
	addFormat(cmd, &call.format)
	flags.StringVarP(&call.output, "output", "o", "", "write the report to this `FILE` instead of standard output")
	// It errs only for a flag that does not exist.
	_ = cmd.RegisterFlagCompletionFunc("output", cobra.FixedCompletions(nil, cobra.ShellCompDirectiveDefault))
	flags.BoolVar(&call.trails, "trails", false, "add the working of the governing checks, step by step")
	flags.BoolVar(&call.full, "full", false, "with several files print the report of each, then the lines")
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

// take keeps the files and judges the call as a whole.
func (c *checkCall) take(files []string) error {
	if len(files) == 0 {
		return errors.New("no file is given: name a TOML file, or - for standard input")
	}
	if err := knownFormat(c.format); err != nil {
		return err
	}
	if c.output != "" && len(files) > 1 {
		return fmt.Errorf("-o takes the report of one file, and %d files are given: call check once for each, or send standard output to a file", len(files))
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
	c.files = files
	return nil
}

// outcome is what became of one file.
type outcome struct {
	file    string
	code    int
	verdict verdict
	report  []byte // nil when there is none
	err     error
}

func (c *checkCall) run(ctx context.Context, stdin io.Reader, stdout, stderr io.Writer) error {
	if c.output != "" {
		if err := writable(c.output, c.files[0]); err != nil {
			return wrong(err)
		}
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	code := exitPass
	show := c.delivery(stdout)
	for _, found := range c.examineAll(ctx, stdin) {
		f, err := await(ctx, found)
		if err != nil {
			return err
		}
		if f.err != nil {
			fmt.Fprintln(stderr, explain(f))
		}
		if err := show.deliver(f); err != nil {
			return wrong(err)
		}
		code = worse(code, f.code)
	}
	if err := show.end(); err != nil {
		return wrong(err)
	}
	if code == exitPass {
		return nil
	}
	return &ending{code: code}
}

// examineAll checks the files on as many processors as there are, each file on
// one, and returns a channel for each in their order. A file whose turn comes
// after ctx is done is not begun.
func (c *checkCall) examineAll(ctx context.Context, stdin io.Reader) []chan outcome {
	found := make([]chan outcome, len(c.files))
	for i := range found {
		found[i] = make(chan outcome, 1) // nobody may be waiting any more
	}
	var next atomic.Int64
	for range min(runtime.GOMAXPROCS(0), len(c.files)) {
		go func() {
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= len(c.files) {
					return
				}
				found[i] <- c.examine(c.files[i], stdin)
			}
		}()
	}
	return found
}

// await waits for one file, and gives up when the call is interrupted.
func await(ctx context.Context, found <-chan outcome) (outcome, error) {
	select {
	case f := <-found:
		if ctx.Err() == nil {
			return f, nil
		}
	case <-ctx.Done():
	}
	return outcome{}, &ending{exitInterrupted, errors.New("interrupted")}
}

// examine takes one file from its bytes to its report.
func (c *checkCall) examine(file string, stdin io.Reader) outcome {
	options := check.Options{Trails: c.trails, AllBaseActions: c.feet}
	return examine(file, stdin, c.format, options, func(out io.Writer, result *check.Result, units quantity.System) error {
		switch {
		case c.format == "json":
			return report.JSON(out, result)
		case c.reports():
			return report.Text(out, result, report.TextOptions{Units: units})
		}
		return nil
	})
}

// examine takes one file from its bytes to what is written of its result. A bug that panics
// on the way gives no report, and not the exit code of a wrong input.
func examine(file string, stdin io.Reader, format string, o check.Options, write func(io.Writer, *check.Result, quantity.System) error) (f outcome) {
	defer func() {
		if bug := recover(); bug != nil {
			f = outcome{file: file, code: exitUntrusted, err: fmt.Errorf("bug in the program: %v\n%s", bug, debug.Stack())}
		}
	}()
	data, err := read(file, stdin)
	if err != nil {
		return outcome{file: file, code: exitWrong, err: err}
	}
	definition, err := barrier.Parse(file, data)
	if err != nil {
		return outcome{file: file, code: exitWrong, err: err}
	}
	o.Units = definition.Units
	if format == "json" {
		o.Units = quantity.Metric // what people read in never changes the JSON
	}
	result, err := check.Run(definition, o)
	if err != nil {
		return outcome{file: file, code: exitOf(err), err: err}
	}
	var out bytes.Buffer
	if err := write(&out, result, o.Units); err != nil {
		var end *ending
		if errors.As(err, &end) {
			return outcome{file: file, code: end.code, err: end.err}
		}
		return outcome{file: file, code: exitUntrusted, err: err}
	}
	return outcome{file: file, code: exitCode(result.Status), verdict: verdictOf(result), report: out.Bytes()}
}

// exitOf is the code of a check that gave no result: what the definition is to
// blame for is wrong input, anything else an untrusted calculation.
func exitOf(err error) int {
	var problems barrier.Problems
	if errors.As(err, &problems) {
		return exitWrong
	}
	return exitUntrusted
}

func read(file string, stdin io.Reader) ([]byte, error) {
	if file == "-" {
		data, err := io.ReadAll(stdin)
		if err != nil {
			return nil, fmt.Errorf("reading standard input: %w", err)
		}
		return data, nil
	}
	data, err := os.ReadFile(file)
	var path *fs.PathError
	if errors.As(err, &path) {
		return nil, fmt.Errorf("reading %s: %w", file, path.Err)
	}
	return data, err
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
	return fmt.Sprintf("stanchion: %v", f.err)
}
