package main

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/report"
)

// verdict is what the line of a file says of its barrier.
type verdict struct {
	utilisation string
	governs     string
	part        bool // the user left something out of the scope
}

func verdictOf(r *check.Result) verdict {
	governing := r.Governing.Overall
	v := verdict{
		utilisation: report.Utilisation(governing.Utilisation, r.Status),
		governs:     strings.TrimPrefix(governing.ID+", "+governing.Element, ", "),
		part:        !r.ScopeComplete,
	}
	if v.governs == "" {
		v.governs = "nothing is checked"
	}
	if r.Governing.Geometry != "" {
		v.governs += "; a geometry rule fails"
	}
	return v
}

// delivery brings what became of the files to where it was asked for.
type delivery interface {
	deliver(outcome) error
	end() error
}

func (c *checkCall) delivery(stdout io.Writer) delivery {
	switch {
	case c.tablesTo != "":
		return savedTables(c.tablesTo)
	case c.output != "":
		return savedReport(c.output)
	case c.format == "csv" && c.several:
		return &reports{out: stdout, head: func(out io.Writer) error { return report.HeadCSV(out, c.table) }}
	case c.format != "text" || !c.several:
		return &reports{out: stdout}
	case c.reports():
		return &reports{out: stdout, divided: true, lines: &tally{out: stdout}}
	}
	return &tally{out: stdout}
}

// savedReport is the file that takes the one report.
type savedReport string

func (name savedReport) deliver(f outcome) error {
	if f.err != nil {
		return nil
	}
	err := saveBy(string(name), f.write)
	var end *ending
	if err != nil && !errors.As(err, &end) {
		return wrong(err)
	}
	return err
}

func (savedReport) end() error { return nil }

// hasReport says whether something is to be written of a file: its report, or its line.
func (f *outcome) hasReport() bool { return f.err == nil || f.stream != nil }

// reports writes the reports one after the other, and then the lines if there
// are to be some.
type reports struct {
	out     io.Writer
	head    func(io.Writer) error // what stands above them; nil for nothing
	divided bool                  // by a rule
	lines   *tally                // nil for none
	files   []outcome
	written bool
}

func (r *reports) deliver(f outcome) error {
	if err := r.begin(); err != nil {
		return err
	}
	if f.hasReport() {
		if r.divided {
			if err := r.divide(); err != nil {
				return err
			}
		}
		if err := f.write(r.out); err != nil {
			return err
		}
	}
	if r.lines != nil {
		f.report, f.stream = nil, nil
		r.files = append(r.files, f)
	}
	return nil
}

// begin writes what stands above the reports, once.
func (r *reports) begin() error {
	if r.head == nil {
		return nil
	}
	head := r.head
	r.head = nil
	if err := head(r.out); err != nil {
		return wrong(fmt.Errorf("writing the head of the table: %w", err))
	}
	return nil
}

func (r *reports) end() error {
	if r.lines == nil {
		return nil
	}
	if err := r.divide(); err != nil {
		return err
	}
	for _, f := range r.files {
		if err := r.lines.deliver(f); err != nil {
			return err
		}
	}
	return r.lines.end()
}

// divide draws a line between one report and what follows.
func (r *reports) divide() error {
	if !r.written {
		r.written = true
		return nil
	}
	if _, err := fmt.Fprintf(r.out, "\n%s\n\n", strings.Repeat("_", 80)); err != nil {
		return wrong(fmt.Errorf("writing the report: %w", err))
	}
	return nil
}

// tallyHead stands above the lines; its words are those of C1 in a report.
const tallyHead = `C1  This is a pre-check. A qualified engineer must verify it; the local code
    and licensed practice come first.

  verdict         util-  governed by                       file
                isation
`

// plural counts things: "1 file", "3 files".
func plural(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// missing are the files of which there is no report.
type missing []outcome

func (m *missing) note(f outcome) { *m = append(*m, outcome{file: f.file, code: f.code, err: f.err}) }

// list names them behind what was said of each, among so many files.
func (m *missing) list(out io.Writer, files int) {
	if len(*m) == 0 {
		return
	}
	var text strings.Builder
	fmt.Fprintf(&text, "stanchion: no report of %d of %s:\n", len(*m), plural(files, "file"))
	for _, f := range *m {
		fmt.Fprintf(&text, "  %-12s  %s\n", verdictWord(f), printable(f.file))
	}
	fmt.Fprint(out, text.String())
}

// tally writes one line for each file, and at the end how many there are of each
// verdict.
type tally struct {
	out   io.Writer
	files int
	of    map[string]int // files of each verdict
	part  bool           // a file has something left out
}

// verdictWords are the verdicts in the order in which they are counted.
func verdictWords() []string {
	return []string{"pass", "fail", "incomplete", "not trusted", "not read"}
}

// verdictWord is the verdict on a file in one or two words.
func verdictWord(f outcome) string {
	switch {
	case f.err == nil && f.code == exitPass:
		return "pass"
	case f.code == exitFail:
		return "fail"
	case f.err == nil && f.code == exitIncomplete:
		return "incomplete"
	case f.code == exitWrong:
		return "not read"
	}
	return "not trusted"
}

func (t *tally) deliver(f outcome) error {
	text := ""
	if t.files == 0 {
		t.of = map[string]int{}
		text = tallyHead
	}
	word := verdictWord(f)
	t.files++
	t.of[word]++
	v := f.verdict
	if f.err != nil {
		v = verdict{utilisation: "-", governs: "see the error"}
	}
	mark := ""
	if v.part {
		t.part, mark = true, "*"
	}
	text += fmt.Sprintf("  %-12s %8s  %-32s  %s\n", word+mark, v.utilisation, printable(v.governs), printable(f.file))
	return t.write(text)
}

func (t *tally) end() error {
	text := "\n"
	if t.part {
		text += "  * without what the user left out of the scope: nobody has checked that here\n"
	}
	var counts []string
	for _, word := range verdictWords() {
		if n := t.of[word]; n > 0 {
			counts = append(counts, fmt.Sprintf("%d %s", n, word))
		}
	}
	text += fmt.Sprintf("  %s: %s\n", plural(t.files, "file"), strings.Join(counts, ", "))
	return t.write(text)
}

func (t *tally) write(text string) error {
	if _, err := io.WriteString(t.out, text); err != nil {
		return wrong(fmt.Errorf("writing the line of a file: %w", err))
	}
	return nil
}

// printable quotes a name of the user's own that could move a cursor or break a
// line.
func printable(name string) string {
	if strings.ContainsFunc(name, func(r rune) bool { return !unicode.IsPrint(r) }) {
		return strconv.Quote(name)
	}
	return name
}
