package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/report"
)

// checkCall is one call of the check command.
type checkCall struct {
	files  []string
	format string
	output string // file to write; empty for standard output
	trails bool
	feet   bool // base actions of every post
}

func checkCommand() *cobra.Command {
	var call checkCall
	cmd := &cobra.Command{
		Use:   "check FILE...",
		Short: "check barriers and print a report of each",
		Long: `check reads barriers from TOML files and prints a report of each: cautions,
verdict, what holds it back, load path, posts, rails, fittings, feet, checks,
geometry rules, hand checks, what is not checked, assumptions, inputs, sources
and self-check. A file named - is standard input.

The text report shows the worst rows and all that fail; --format json has every
row. With several files the reports follow one another in the order given: text
ends with one line for each file, JSON is one document after the other.

-o FILE writes the report whole: FILE is replaced only when the report is
complete, and is left as it was after any error.

` + exitCodes,
		Example: `  stanchion check gallery.toml                            # exit 0
  stanchion check loading-bay.toml                        # exit 1
  stanchion check --format json -o pit.json pump-pit.toml # exit 4
  stanchion check gallery.toml valve-platform.toml        # exit 4
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
	flags.BoolVar(&call.trails, "trails", false, "add the working of the governing checks, step by step")
	flags.BoolVar(&call.feet, "all-base-actions", false, "base actions of every post, not of the ends and the one with the largest moment alone")
	return cmd
}

// addFormat gives a command its --format flag.
func addFormat(cmd *cobra.Command, format *string) {
	cmd.Flags().StringVar(format, "format", "text", "`FORMAT` of the output: text or json")
	// It errs only for a flag that does not exist.
	_ = cmd.RegisterFlagCompletionFunc("format", cobra.FixedCompletions([]string{"text", "json"}, cobra.ShellCompDirectiveNoFileComp))
}

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
	file   string
	code   int
	result *check.Result // nil when there is no report
	report []byte
	err    error
}

func (c *checkCall) run(ctx context.Context, stdin io.Reader, stdout, stderr io.Writer) error {
	if c.output != "" {
		if err := writable(c.output, c.files[0]); err != nil {
			return wrong(err)
		}
	}
	code := exitPass
	var outcomes []outcome
	for i, file := range c.files {
		f, err := c.find(ctx, file, stdin)
		if err != nil {
			return err
		}
		if f.err != nil {
			fmt.Fprintln(stderr, explain(f))
		} else if err := c.deliver(f, i > 0, stdout); err != nil {
			return wrong(err)
		}
		code = worse(code, f.code)
		outcomes = append(outcomes, f)
	}
	if len(outcomes) > 1 && c.format == "text" {
		if err := summary(stdout, outcomes); err != nil {
			return wrong(err)
		}
	}
	if code == exitPass {
		return nil
	}
	return &ending{code: code}
}

// find checks one file, and gives up when the call is interrupted.
func (c *checkCall) find(ctx context.Context, file string, stdin io.Reader) (outcome, error) {
	done := make(chan outcome, 1)
	go func() { done <- c.examine(file, stdin) }()
	select {
	case f := <-done:
		if ctx.Err() == nil {
			return f, nil
		}
	case <-ctx.Done():
	}
	return outcome{}, &ending{exitInterrupted, errors.New("interrupted")}
}

// examine takes one file from its bytes to its report. A bug that panics on the
// way gives no report, and not the exit code of a wrong input.
func (c *checkCall) examine(file string, stdin io.Reader) (f outcome) {
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
	result, err := check.Run(definition, check.Options{Trails: c.trails, AllBaseActions: c.feet})
	if err != nil {
		return outcome{file: file, code: exitOf(err), err: err}
	}
	var out bytes.Buffer
	if c.format == "json" {
		err = report.JSON(&out, result)
	} else {
		err = report.Text(&out, result, report.TextOptions{Units: definition.Units})
	}
	if err != nil {
		return outcome{file: file, code: exitUntrusted, err: err}
	}
	return outcome{file: file, code: exitCode(result.Status), result: result, report: out.Bytes()}
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

// deliver writes a report to where it was asked for.
func (c *checkCall) deliver(f outcome, further bool, stdout io.Writer) error {
	if c.output != "" {
		return save(c.output, f.report)
	}
	if further && c.format == "text" {
		if err := divide(stdout); err != nil {
			return err
		}
	}
	if _, err := stdout.Write(f.report); err != nil {
		return fmt.Errorf("writing the report: %w", err)
	}
	return nil
}

// summary writes one line for each file.
func summary(stdout io.Writer, outcomes []outcome) error {
	table := report.NewTable(report.Words("file"), report.Words("verdict"), report.Numbers("utilisation"), report.Words("governed by"))
	for _, f := range outcomes {
		switch {
		case f.result != nil:
			governing := f.result.Governing.Overall
			by := strings.TrimPrefix(governing.ID+", "+governing.Element, ", ")
			if f.result.Governing.Geometry != "" {
				by += "; a geometry rule fails"
			}
			table.Add(f.file, string(f.result.Status), report.Utilisation(governing.Utilisation, f.result.Status), by)
		case f.code == exitUntrusted:
			table.Add(f.file, "not trusted", "-", "see the error")
		default:
			table.Add(f.file, "not read", "-", "see the errors")
		}
	}
	if err := divide(stdout); err != nil {
		return err
	}
	return table.Text(stdout)
}

// divide draws a line between one report and the next.
func divide(stdout io.Writer) error {
	if _, err := fmt.Fprintf(stdout, "\n%s\n\n", strings.Repeat("_", 80)); err != nil {
		return fmt.Errorf("writing the report: %w", err)
	}
	return nil
}
