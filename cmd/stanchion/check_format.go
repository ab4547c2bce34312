package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/report"
	"example.com/stanchion/internal/quantity"
)

// checkFormats are the formats of a check.
func checkFormats() []string { return []string{"text", "json", "jsonl", "csv"} }

// addFormat gives the command its --format and --table flags.
func (c *checkCall) addFormat(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringVar(&c.format, "format", "text", "`FORMAT` of the output: text, json, jsonl or csv")
	flags.StringVar(&c.table, "table", "checks", "`TABLE` of --format csv: checks, posts, rails, base_actions, ...")
	// They err only for a flag that does not exist.
	_ = cmd.RegisterFlagCompletionFunc("format", completeNames(func() []choice { return choices(checkFormats()) }))
	_ = cmd.RegisterFlagCompletionFunc("table", completeNames(func() []choice { return choices(report.Tables()) }))
}

func choices(names []string) []choice {
	var all []choice
	for _, name := range names {
		all = append(all, choice{name: name})
	}
	return all
}

func (c *checkCall) knownFormat() error {
	if !slices.Contains(checkFormats(), c.format) {
		return fmt.Errorf("unknown format %q: write text, json, jsonl or csv", c.format)
	}
	tables := report.Tables()
	if c.format == "csv" && !slices.Contains(tables, c.table) {
		return fmt.Errorf("no table is called %q: write one of %s", c.table, strings.Join(tables, ", "))
	}
	return nil
}

// render writes what the call asks for of one result.
func (c *checkCall) render(out io.Writer, file string, result *check.Result, units quantity.System) error {
	switch {
	case c.format == "json":
		return report.JSON(out, result)
	case c.format == "jsonl":
		return report.JSONLine(out, &fileLine{File: file, ExitCode: exitCode(result.Status), Result: result})
	case c.format == "csv" && c.several:
		return report.RowsCSV(out, file, result, c.table)
	case c.format == "csv":
		return report.TableCSV(out, file, result, c.table)
	case c.reports():
		return report.Text(out, result, report.TextOptions{Units: units})
	}
	return nil
}

// fileLine is one line of --format jsonl: a file with its result, or with the reason why there is
// none.
type fileLine struct {
	File     string        `json:"file"`
	ExitCode int           `json:"exit_code"`
	Result   *check.Result `json:"result,omitempty"`
	Error    string        `json:"error,omitempty"`
	Problems []problemLine `json:"problems,omitempty"`
}

// problemLine is a problem of a definition. Line and column are 0 where it has no place.
type problemLine struct {
	Line   int    `json:"line"`
	Column int    `json:"column"`
	Path   string `json:"path"`
	What   string `json:"what"`
	Fix    string `json:"fix,omitempty"`
}

// withLine gives a file without a report its line in --format jsonl.
func (c *checkCall) withLine(f outcome) outcome {
	if f.err == nil || c.format != "jsonl" {
		return f
	}
	line := fileLine{File: f.file, ExitCode: f.code, Error: strings.TrimPrefix(explain(f), "stanchion: ")}
	var problems barrier.Problems
	if errors.As(f.err, &problems) {
		line.Error = fmt.Sprintf("the definition has %d problems", len(problems))
		if len(problems) == 1 {
			line.Error = "the definition has a problem"
		}
		for _, p := range problems {
			line.Problems = append(line.Problems, problemLine{p.Pos.Line, p.Pos.Col, p.Path, p.What, p.Fix})
		}
	}
	f.stream = func(out io.Writer) error { return report.JSONLine(out, &line) }
	return f
}
