package report_test

import (
	"encoding/csv"
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/report"
)

// csvLines returns the lines of a table with one row of one cell, or the error.
func csvLines(t *testing.T, cell any) ([]string, error) {
	t.Helper()
	var b strings.Builder
	table := report.NewCSV(&b, "name")
	table.Row(cell)
	err := table.Flush()
	return strings.Split(b.String(), "\n"), err
}

func TestCSVBeginsWithThePreCheckAndTheHeader(t *testing.T) {
	var b strings.Builder
	table := report.NewCSVAbout(&b, []string{"about\nthis"}, "tube", "moment_Nm", "utilisation", "posts", "read")
	u := math.Copysign(0, -1)
	table.Row("EN 10255, DN40", 1234.5678912345, &u, 7, true)
	table.Row(check.Pass, -0.5, (*float64)(nil), int64(0), nil)
	if err := table.Flush(); err != nil {
		t.Fatal(err)
	}
	want := `# C1 This is a pre-check. A qualified engineer must verify it; the local code and licensed practice come first.
# about this
tube,moment_Nm,utilisation,posts,read
"EN 10255, DN40",1234.56789,0,7,true
pass,-0.5,,0,
`
	if b.String() != want {
		t.Errorf("got\n%swant\n%s", b.String(), want)
	}
}

// Spreadsheets take a cell for a formula that begins with one of = + - @ or a tab, also behind
// spaces (OWASP, CSV injection; from memory). A number and a unit with nothing between them that
// computes is none. Another library's reader gets back what was written.
func TestCSVTextIsNoFormula(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", ""},
		{"top", "top"},
		{"=1+1", "'=1+1"},
		{"=HYPERLINK(\"x\",\"y\")", "'=HYPERLINK(\"x\",\"y\")"},
		{"+cmd", "'+cmd"},
		{"-20 K", "-20 K"},
		{"-100 mm", "-100 mm"},
		{"-100mm", "-100mm"},
		{"+0.5 kN/m", "+0.5 kN/m"},
		{" -100 mm", "' -100 mm"},
		{"--100 mm", "'--100 mm"},
		{"-mm", "'-mm"},
		{"-100 A1", "'-100 A1"},
		{"-100/m", "'-100/m"},
		{"-100 mm+A1", "'-100 mm+A1"},
		{"-1|mm", "'-1|mm"},
		{"@SUM(A1)", "'@SUM(A1)"},
		{"\t=1", "' =1"},
		{" =1", "' =1"},
		{"\r\n-x", "'  -x"},
		{"＝1", "'＝1"},
		{"# no comment", "'# no comment"},
		{"-5", "-5"},
		{"+0.25", "+0.25"},
		{"-1e-3", "-1e-3"},
		{"-0x1p4", "'-0x1p4"},
		{"-inf", "'-inf"},
		{"-1-1", "'-1-1"},
		{"a=b", "a=b"},
		{"two\nlines", "two lines"},
		{"it's \"so\", he said", "it's \"so\", he said"},
	} {
		var b strings.Builder
		table := report.NewCSV(&b, "name", "other")
		table.Row(c.text, c.text)
		if err := table.Flush(); err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(b.String(), "\n"); n != 3 || strings.Contains(b.String(), "\r") {
			t.Errorf("%q takes %d lines: %q", c.text, n, b.String())
		}
		reader := csv.NewReader(strings.NewReader(b.String()))
		reader.Comment = '#'
		records, err := reader.ReadAll()
		if err != nil || len(records) != 2 || records[1][0] != c.want || records[1][1] != c.want {
			t.Errorf("%q is read back as %q (%v), want %q", c.text, records, err, c.want)
		}
	}
}

func TestCSVNumbersHaveNineFigures(t *testing.T) {
	for _, c := range []struct {
		value float64
		want  string
	}{
		{0, "0"}, {math.Copysign(0, -1), "0"}, {1, "1"}, {0.1 + 0.2, "0.3"}, {-1234567.891, "-1234567.89"},
		{123456789012, "123456789000"}, {1.5e-9, "1.5e-09"}, {2e15, "2e+15"},
	} {
		lines, err := csvLines(t, c.value)
		if err != nil || lines[2] != c.want {
			t.Errorf("%v is written %q (%v), want %s", c.value, lines[2], err, c.want)
		}
	}
	for _, none := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if lines, err := csvLines(t, none); err == nil {
			t.Errorf("%v is written %q, want an error", none, lines)
		}
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestCSVTellsAFailedWrite(t *testing.T) {
	table := report.NewCSV(fullDisk{}, "name")
	table.Row("a")
	if err := table.Flush(); err == nil || !strings.Contains(err.Error(), "no space left") {
		t.Errorf("the error is %v, want that of the writer", err)
	}
}
