package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"runtime"
	"strings"
	"testing"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// longRun is a made-up result of a run of n posts that has rows for each post and each bay in
// every table that grows with the run. From the fifth on every other post and bay fails, and the
// tenth from the end most.
func longRun(n int) *check.Result {
	r := &check.Result{Schema: 1, Title: "A long run", Basis: "EN", Status: check.Fail, Headline: "fails",
		Cautions: []check.Caution{{ID: "C1", Text: check.PreCheck, Triggered: true}}}
	use := func(i int) *float64 {
		switch {
		case i == n-10:
			return new(9.5)
		case i > 4 && i%2 == 1:
			return new(1 + float64(i%97)/1e3 + 1e-3)
		}
		return new(0.5 + float64(i%97)/1e3)
	}
	status := func(u *float64) check.Status {
		if *u > 1 {
			return check.Fail
		}
		return check.Pass
	}
	for i := range n {
		x, u := 1.5*float64(i), use(i)
		load := fmt.Sprintf("point 0.300 kN outward on top rail at x = %.3f m", x)
		r.Posts = append(r.Posts, check.PostRow{Post: i + 1, X: x, BaseMoment: 1000 * *u, Utilisation: u, DeflectionUtilisation: u})
		for _, id := range []string{"post-bending", "post-yield", "post-shear", "post-deflection"} {
			r.Checks = append(r.Checks, check.CheckRow{ID: id, Element: fmt.Sprintf("post %d", i+1), Demand: 1000 * *u, Resistance: 1000, Unit: "Nm", Utilisation: u, LimitState: "ULS", Combination: "1.35 G + 1.50 Q", Load: load, Status: status(u)})
		}
		for _, rail := range []string{"top", "knee"} {
			r.Checks = append(r.Checks, check.CheckRow{ID: "rail-bending", Element: fmt.Sprintf("rail %s bay %d", rail, i+1), Demand: 900 * *u, Resistance: 900, Unit: "Nm", Utilisation: u, Load: load, Status: status(u)})
			for _, extreme := range []string{"slip", "twist", "force", "moment"} {
				r.Fittings = append(r.Fittings, check.FittingRow{Fitting: fmt.Sprintf("%d %s", i+1, rail), Tube: "rail", ExtremeOf: extreme, Slip: *u, Twist: *u, Force: *u, Moment: *u, Level: "design", Load: load})
			}
			r.Splices = append(r.Splices, check.FittingRow{Fitting: fmt.Sprintf("%s %.3f", rail, x), Tube: "rail", ExtremeOf: "moment", Moment: *u, Level: "design", Load: load})
			r.Expansion = append(r.Expansion, check.ExpansionRow{Load: "season", Rail: rail, Where: "splice", X: x, Length: 6, Closes: *u, Opens: *u})
		}
		for _, extreme := range []string{"Mx+", "Mx-", "My+", "My-", "M", "V", "Fz+", "Fz-", "Mz"} {
			r.BaseActions = append(r.BaseActions, check.BaseAction{Post: i + 1, ExtremeOf: extreme, Level: "design", Load: load, Fx: *u, Fy: *u, Fz: *u, Mx: 1000 * *u, My: *u, Mz: *u})
		}
		r.Gaps = append(r.Gaps, check.GapRow{What: "gate", From: x, To: x + 0.9})
		r.Braces = append(r.Braces, check.BraceRow{Brace: i + 1, Post: i + 1, Utilisation: u, Compression: *u, Tension: *u})
		r.BraceFeet = append(r.BraceFeet, check.BraceFoot{Brace: i + 1, ExtremeOf: "H", Level: "design", Fx: *u})
		r.Unchecked = append(r.Unchecked, check.Item{Item: fmt.Sprintf("gate %d", i+1), Reason: "not checked here", Unit: "1"})
		r.Inputs = append(r.Inputs, check.Input{Key: fmt.Sprintf("gate[%d].from", i), Text: "1 m"})
	}
	r.Rails = []check.RailRow{{Rail: "top", Utilisation: new(1.2)}, {Rail: "knee", Utilisation: new(0.4)}}
	r.Inputs = append(check.Inputs{{Key: "rail[0].splices", Text: strings.Repeat("5.8 m, ", n)}}, r.Inputs...)
	return r
}

const long = 20_000

// The text does not grow with the run: what is worst stands in it, and what fails and does not is
// counted.
func TestTextOfALongRunIsFolded(t *testing.T) {
	r := longRun(long)
	short, folded := text(t, longRun(100), quantity.Metric), text(t, r, quantity.Metric)
	lines := strings.Count(folded, "\n")
	if grown := lines - strings.Count(short, "\n"); grown > 120 { // keys of the inputs are shown up to 200
		t.Errorf("the text of %d posts has %d lines, %d more than that of 100", long, lines, grown)
	}
	worst := fmt.Sprintf("%d", long-9)
	for _, want := range []string{
		"post " + worst,
		"bay " + worst,
		"Worst first; ", "more rows fail, by no more than the last of these; every row",
		fmt.Sprintf("The ends and the worst of %d posts", long),
		"have a utilisation above 1.000",
		fmt.Sprintf("Of %d posts the one with the largest of each; every row is in the CSV", long),
		fmt.Sprintf("and %d more; every row is in the CSV and the JSON", long-24),
		fmt.Sprintf("The worst of %d braces", long),
		fmt.Sprintf("%d more follow them along the run", long-24),
		"characters in all; whole in the JSON",
		"more keys are in the JSON.",
	} {
		if !strings.Contains(strings.Join(strings.Fields(folded), " "), want) {
			t.Errorf("the text of a long run does not say %q", want)
		}
	}
	// Every failing row is shown or counted.
	failing, shown, hidden := 0, 0, 0
	for _, row := range r.Checks {
		if row.Status == check.Fail {
			failing++
		}
	}
	_, rest, _ := strings.Cut(folded, "\nChecks: ")
	rest, _, _ = strings.Cut(rest, "\nNot checked")
	for line := range strings.Lines(rest) {
		fields := strings.Fields(line)
		if len(fields) > 4 && (strings.HasPrefix(fields[0], "post-") || strings.HasPrefix(fields[0], "rail-")) {
			var u float64
			if _, err := fmt.Sscanf(fields[len(fields)-1], "%g", &u); err == nil && u > 1 {
				shown++
			}
		}
		_, _ = fmt.Sscanf(strings.TrimSpace(line), "Worst first; %d more rows fail", &hidden)
	}
	if shown+hidden != failing || hidden == 0 {
		t.Errorf("%d failing rows shown and %d counted, of %d", shown, hidden, failing)
	}
}

// largestWrite keeps the largest piece that is written at a time.
type largestWrite struct {
	bytes.Buffer
	largest int
}

func (w *largestWrite) Write(p []byte) (int, error) {
	w.largest = max(w.largest, len(p))
	return w.Buffer.Write(p)
}

// A long document is written piece by piece, and is the one that the standard library reads back:
// compacted, it is that of JSONLine.
func TestLongJSONIsStreamed(t *testing.T) {
	r := longRun(500)
	var document, line largestWrite
	if err := JSON(&document, r); err != nil {
		t.Fatal(err)
	}
	if err := JSONLine(&line, r); err != nil {
		t.Fatal(err)
	}
	for what, w := range map[string]*largestWrite{"document": &document, "line": &line} {
		if most := 1<<20 + 1<<17; w.largest > most || w.Len() < 2*most {
			t.Errorf("the %s of %d bytes is written in pieces of up to %d", what, w.Len(), w.largest)
		}
	}
	var compact bytes.Buffer
	if err := json.Compact(&compact, document.Bytes()); err != nil {
		t.Fatal(err)
	}
	if got := strings.TrimSuffix(line.String(), "\n"); got != compact.String() {
		t.Error("the line is not the document made compact")
	}
	if n := strings.Count(line.String(), "\n"); n != 1 {
		t.Errorf("the line has %d line ends", n)
	}
	var indented bytes.Buffer
	if err := json.Indent(&indented, compact.Bytes(), "", "  "); err != nil {
		t.Fatal(err)
	}
	if indented.String()+"\n" != document.String() {
		t.Error("the document is not laid out as the standard library would")
	}
}

// A number that JSON cannot hold, though it stands last, leaves nothing written.
func TestLongJSONThatFailsIsNotBegun(t *testing.T) {
	r := longRun(500)
	r.Diagrams = []check.Diagram{{Values: []float64{math.NaN()}}}
	for _, write := range []func(io.Writer, *check.Result) error{JSON, func(w io.Writer, r *check.Result) error { return JSONLine(w, r) }} {
		var out bytes.Buffer
		if err := write(&out, r); err == nil || !strings.Contains(err.Error(), "diagrams: 0: values") || out.Len() > 0 {
			t.Errorf("%d bytes and %v, want none and an error that names the number", out.Len(), err)
		}
	}
}

// CSV has every row, in as many columns as the head names, whatever the table.
func TestTablesHaveEveryRow(t *testing.T) {
	r := fixtureWithRows()
	rows := map[string]int{"posts": len(r.Posts), "checks": len(r.Checks), "fittings": len(r.Fittings), "base_actions": len(r.BaseActions), "rails": len(r.Rails), "legs": len(r.Legs)}
	for _, table := range Tables() {
		var whole, parts bytes.Buffer
		if err := TableCSV(&whole, "a.toml", r, table); err != nil {
			t.Fatal(err)
		}
		if err := HeadCSV(&parts, table); err != nil {
			t.Fatal(err)
		}
		if err := RowsCSV(&parts, "a.toml", r, table); err != nil {
			t.Fatal(err)
		}
		if whole.String() != parts.String() {
			t.Errorf("%s: head and rows apart are not the table", table)
		}
		if !strings.HasPrefix(whole.String(), "# C1 "+check.PreCheck+"\nfile,") {
			t.Errorf("%s begins %.80q", table, whole.String())
		}
		reader := csv.NewReader(&whole)
		reader.Comment = '#'
		records, err := reader.ReadAll()
		if err != nil {
			t.Errorf("%s: %v", table, err)
		}
		if want, known := rows[table]; known && len(records)-1 != want {
			t.Errorf("%s has %d rows, want %d", table, len(records)-1, want)
		}
	}
	var out bytes.Buffer
	if err := TableCSV(&out, "a.toml", r, "posts"); err != nil || !strings.Contains(out.String(), "\na.toml,3,1.5,2,1.5 0.25 0,") {
		t.Errorf("%v\n%s", err, out.String())
	}
}

func fixtureWithRows() *check.Result {
	r := longRun(5)
	r.Posts[2] = check.PostRow{Post: 3, X: 1.5, Leg: 2, At: []float64{1.5, 0.25, 0}}
	r.Legs = []check.LegRow{{Leg: 1, End: []float64{1, 2, 3}}}
	return r
}

func BenchmarkLongRun(b *testing.B) {
	for _, n := range []int{1_000, 10_000} {
		r := longRun(n)
		for name, write := range map[string]func() error{
			"text": func() error { return Text(io.Discard, r, TextOptions{}) },
			"json": func() error { return JSON(io.Discard, r) },
			"csv":  func() error { return TableCSV(io.Discard, "a.toml", r, "checks") },
		} {
			b.Run(fmt.Sprintf("%s/posts=%d", name, n), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if err := write(); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/post")
			})
		}
		runtime.KeepAlive(r)
	}
}
