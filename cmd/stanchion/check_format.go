package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/report"
	"example.com/stanchion/internal/quantity"
)

// checkFormat is one format of a check.
type checkFormat struct {
	name   string
	ending string                                                   // of the name of a file that is written in it
	page   func(io.Writer, *check.Result, report.TextOptions) error // writes a sheet for people; nil for what the call writes itself
	coded  bool                                                     // no text, which no terminal shows
}

// checkFormats are the formats of a check. A sheet is of one barrier, with its drawings and the working
// of its checks.
func checkFormats() []checkFormat {
	return []checkFormat{
		{name: "text", ending: "txt"},
		{name: "json", ending: "json"},
		{name: "jsonl", ending: "jsonl"},
		{name: "csv", ending: "csv"},
		{name: "html", ending: "html", page: report.HTML},
		{name: "md", ending: "md", page: report.Markdown},
		{name: "pdf", ending: "pdf", page: report.PDF, coded: true},
	}
}

func checkFormatNames() (names []string) {
	for _, f := range checkFormats() {
		names = append(names, f.name)
	}
	return names
}

// formatNamed returns the format of a name, which is known.
func formatNamed(name string) checkFormat {
	all := checkFormats()
	return all[slices.IndexFunc(all, func(f checkFormat) bool { return f.name == name })]
}

// addFormat gives the command its --format and --table flags.
func (c *checkCall) addFormat(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringVar(&c.format, "format", "text", "`FORMAT` of the output: "+orOf(checkFormatNames()))
	flags.StringVar(&c.table, "table", "checks", "`TABLE` of --format csv: checks, posts, rails, ..., or all")
	flags.StringVar(&c.tablesTo, "tables-to", "", "write every table as CSV into this `FOLDER`, a file for each")
	// They err only for a flag that does not exist.
	_ = cmd.RegisterFlagCompletionFunc("format", completeNames(func() []choice { return choices(checkFormatNames()) }))
	_ = cmd.RegisterFlagCompletionFunc("table", completeNames(func() []choice { return choices(append(report.Tables(), report.AllTables)) }))
	_ = cmd.RegisterFlagCompletionFunc("tables-to", cobra.FixedCompletions(nil, cobra.ShellCompDirectiveFilterDirs))
}

func choices(names []string) []choice {
	var all []choice
	for _, name := range names {
		all = append(all, choice{name: name})
	}
	return all
}

// takeFormat judges --format. Where it is left out the ending of the output's name says it.
func (c *checkCall) takeFormat(cmd *cobra.Command) error {
	names := checkFormatNames()
	if !slices.Contains(names, c.format) {
		return fmt.Errorf("unknown format %q: write %s", c.format, orOf(names))
	}
	ending := endingOf(c.output)
	if c.output == "" || ending == formatNamed(c.format).ending {
		return nil
	}
	i := slices.IndexFunc(checkFormats(), func(f checkFormat) bool { return f.ending == ending })
	switch said := cmd.Flags().Changed("format"); {
	case i >= 0 && said:
		return fmt.Errorf("-o %s is %s and --format says %s: leave one of them out", c.output, checkFormats()[i].name, c.format)
	case i >= 0:
		c.format = checkFormats()[i].name
	case !said:
		return promised(c.output, ending)
	}
	return nil
}

// endingOf returns what the name of a file ends in, without its point.
func endingOf(file string) string {
	return strings.TrimPrefix(strings.ToLower(filepath.Ext(file)), ".")
}

// promised refuses a name whose ending promises what the command does not write; of any other no one expects
// more than text.
func promised(file, ending string) error {
	switch ending {
	case "csv", "tsv", "json", "jsonl", "doc", "docx", "odt", "rtf", "xls", "xlsx", "ods", "xml", "yaml", "yml", "svg", "png", "jpg", "jpeg", "gif", "tif", "tiff", "dxf", "dwg", "ps", "eps", "pdf", "html", "htm", "md", "tex", "zip":
		return fmt.Errorf("-o %s: this command writes no .%s: write another ending, or say with --format what is in the file", file, ending)
	}
	return nil
}

// shows refuses to write what is no text to a terminal.
func (c *checkCall) shows(stdout io.Writer) error {
	file, ok := stdout.(*os.File)
	if !ok || c.output != "" || !formatNamed(c.format).coded || !term.IsTerminal(int(file.Fd())) {
		return nil
	}
	return fmt.Errorf("--format %s is no text for a terminal: write -o FILE.%s, or send standard output to a file or a pipe", c.format, formatNamed(c.format).ending)
}

// knownTable judges --table.
func (c *checkCall) knownTable() error {
	tables := append(report.Tables(), report.AllTables)
	if c.format == "csv" && !slices.Contains(tables, c.table) {
		return fmt.Errorf("no table is called %q: write one of %s", c.table, strings.Join(tables, ", "))
	}
	return nil
}

// render writes what the call asks for of one result.
func (c *checkCall) render(out io.Writer, file string, result *check.Result, units quantity.System) error {
	switch page := formatNamed(c.format).page; {
	case page != nil:
		return page(out, result, report.TextOptions{Units: units})
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
