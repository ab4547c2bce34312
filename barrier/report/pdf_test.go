package report

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// example checks one of the examples, with its trails and its drawings.
func example(t testing.TB, name string) (*check.Result, TextOptions) {
	t.Helper()
	r, units, _ := resultOf(t, name)
	return r, TextOptions{Units: units}
}

func pdf(t testing.TB, r *check.Result, o TextOptions) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := PDF(&out, r, o); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// poppler runs one of the programs of poppler, which read a PDF without any code of ours.
func poppler(t *testing.T, document []byte, program string, flags ...string) string {
	t.Helper()
	if _, err := exec.LookPath(program); err != nil {
		t.Skipf("SKIPPED: NO PAGE OF A PDF IS READ BACK, for %s is not here: apt-get install poppler-utils", program)
	}
	file := filepath.Join(t.TempDir(), "report.pdf")
	if err := os.WriteFile(file, document, 0o600); err != nil {
		t.Fatal(err)
	}
	args := append(slices.Clone(flags), file)
	if program == "pdftotext" {
		args = append(args, "-")
	}
	out, err := exec.Command(program, args...).Output()
	if err != nil {
		t.Fatalf("%s: %v", program, err)
	}
	return string(out)
}

// flat is text with one space between words.
func flat(text string) string { return strings.Join(strings.Fields(text), " ") }

// What the pages say is read back by poppler; what they should say stands in the result and in
// the order that the design fixes.
func TestPDFSaysWhatTheResultHas(t *testing.T) {
	for _, c := range []struct {
		name  string
		sheet string // ISO 216 A4, 210 mm x 297 mm; ANSI Y14.1 Letter, 8.5 in x 11 in; in points of 1/72 in
	}{{"boiler-gallery", "595.28 x 841.89"}, {"kiln-walk", "612 x 792"}} {
		r, o := example(t, c.name)
		document := pdf(t, r, o)
		pages := strings.Split(poppler(t, document, "pdftotext", "-layout"), "\f")
		pages = pages[:len(pages)-1] // each page ends in a form feed
		info := poppler(t, document, "pdfinfo")
		for _, want := range []string{fmt.Sprintf("Pages:           %d\n", len(pages)), c.sheet + " pts", "Title:           " + r.Title, "Thu Jan  1 00:00:00 1970"} {
			if !strings.Contains(info, want) {
				t.Errorf("%s: pdfinfo does not say %q:\n%s", c.name, want, info)
			}
		}
		for i, page := range pages {
			for _, want := range []string{"C1 " + check.PreCheck, fmt.Sprintf("page %d of %d", i+1, len(pages)), strings.ToUpper(string(r.Status))} {
				if !strings.Contains(flat(page), want) {
					t.Errorf("%s: page %d does not say %q", c.name, i+1, want)
				}
			}
		}
		all := flat(poppler(t, document, "pdftotext", "-layout"))
		from := 0
		for _, heading := range []string{"Cautions", "Verdict", "What holds it back", "Load path, from the rail to the ground", "Drawings", "Elevation", "Posts: ", "Rails: ",
			"Fittings: ", "Feet: ", "Checks: ", "Geometry rules", "Hand checks", "Not checked", "Left out by the user", "Assumptions", "Loads: ", "Inputs as read", "Cautions that hold for every barrier", "Sources", "Self-check"} {
			at := strings.Index(all[from:], heading)
			if at < 0 && !strings.HasPrefix(heading, "Geometry") {
				t.Errorf("%s: %q does not follow (source: design.md, Report order)", c.name, heading)
				continue
			}
			from += max(at, 0)
		}
		for _, row := range selectChecks(r).worst {
			if !strings.Contains(all, row.ID+" "+row.Element) {
				t.Errorf("%s: the pages have no check %s of %s", c.name, row.ID, row.Element)
			}
			if !strings.Contains(all, "Trail of "+row.ID+", "+row.Element) {
				t.Errorf("%s: the pages have no trail of %s, %s", c.name, row.ID, row.Element)
			}
		}
		for _, input := range r.Inputs {
			if !strings.Contains(all, input.Key) {
				t.Errorf("%s: the pages have no input %s", c.name, input.Key)
			}
		}
	}
}

// wordBoxes are the pages of pdftotext -bbox: each word in the box round its letters, points from the top
// left corner.
type wordBoxes struct {
	Pages []struct {
		Width  float64 `xml:"width,attr"`
		Height float64 `xml:"height,attr"`
		Words  []struct {
			Left   float64 `xml:"xMin,attr"`
			Right  float64 `xml:"xMax,attr"`
			Top    float64 `xml:"yMin,attr"`
			Bottom float64 `xml:"yMax,attr"`
			Text   string  `xml:",chardata"`
		} `xml:"word"`
	} `xml:"body>doc>page"`
}

// No word stands in a margin or across another one, as poppler measures them.
func TestPDFKeepsWordsOnThePageAndApart(t *testing.T) {
	r, o := example(t, "kiln-walk")
	r.Shape, r.Diagrams = nil, nil // drawings are their own concern
	wide := fixture()
	wide.Rails[0].Rail = strings.Repeat("top", 80)
	wide.Inputs = append(wide.Inputs, check.Input{Key: strings.Repeat("k", 300), Text: strings.Repeat("v", 3000), Line: 3})
	for name, document := range map[string][]byte{"kiln-walk": pdf(t, r, o), "long names": pdf(t, wide, TextOptions{})} {
		var read wordBoxes
		if err := xml.Unmarshal([]byte(poppler(t, document, "pdftotext", "-bbox")), &read); err != nil {
			t.Fatal(err)
		}
		words := 0
		for n, page := range read.Pages {
			const margin = 14 * 72 / 25.4 // of paper that a printer may leave blank, and more
			for i, word := range page.Words {
				words++
				if word.Left < margin || word.Right > page.Width-margin || word.Top < margin/2 || word.Bottom > page.Height-margin/2 {
					t.Errorf("%s: page %d: %q stands in the margin: %.1f to %.1f across, %.1f to %.1f down", name, n+1, word.Text, word.Left, word.Right, word.Top, word.Bottom)
				}
				for _, other := range page.Words[i+1:] {
					across := math.Min(word.Right, other.Right) - math.Max(word.Left, other.Left)
					down := math.Min(word.Bottom, other.Bottom) - math.Max(word.Top, other.Top)
					if across > 0.5 && down > 0.45*(word.Bottom-word.Top) {
						t.Errorf("%s: page %d: %q covers %q", name, n+1, word.Text, other.Text)
					}
				}
			}
		}
		if words < 500 {
			t.Errorf("%s: poppler found %d words alone", name, words)
		}
	}
}

// hostile is text that could end a string, begin a tag, turn the direction of writing or has no sign
// in a font.
var hostile = []string{
	"<script>alert('x')</script> & \"co\"",
	"a)b(c\\ (unbalanced",
	"\u202eright to left\u202c \u05e9\u05dc\u05d5\u05dd \u0645\u0631\u062d\u0628\u0627",
	"\U0001F3D7 scaffold \U0001F469\u200d\U0001F527 \u2205 48.3 \u22c5 \u6771\u4eac e\u0301 \ue000 \uffff",
	"a | b `c` *d* _e_ [f](http://g) # h ~~i~~ $j$ @k www.l.example |",
	"\xff\xfe not UTF-8 \x00\x1b[31m\r\n\t",
	strings.Repeat("x", 10_000),
	strings.Repeat("long title ", 1_000),
	strings.Repeat("\u05d0", 10_000),
	"",
}

func withHostile(text string) *check.Result {
	r := worked()
	r.Title, r.Project, r.Date = text, text, text
	r.Rails[0].Rail, r.LoadPath[1].Note, r.Checks[0].Load, r.Unchecked[0].Item = text, text, text, text
	r.Inputs = append(r.Inputs, check.Input{Key: "title", Text: text, Line: 1})
	return r
}

func TestPDFOfHostileText(t *testing.T) {
	for _, text := range hostile {
		r := withHostile(text)
		document := pdf(t, r, TextOptions{})
		pages := strings.Split(poppler(t, document, "pdftotext", "-layout"), "\f")
		for i, page := range pages[:len(pages)-1] {
			if !strings.Contains(flat(page), "C1 "+check.PreCheck) {
				t.Errorf("%.20q: page %d has lost C1", text, i+1)
			}
		}
		if len(pages) > 100 { // eight texts of 10 000 signs, five letters for each sign that is told by its code
			t.Errorf("%.20q makes %d pages", text, len(pages))
		}
	}
	said := flat(poppler(t, pdf(t, withHostile(hostile[0]), TextOptions{}), "pdftotext", "-layout"))
	if want := `<script>alert('x')</script> & "co"`; !strings.Contains(said, want) {
		t.Errorf("the pages do not say %s", want)
	}
	said = flat(poppler(t, pdf(t, withHostile(hostile[3]), TextOptions{}), "pdftotext", "-layout"))
	for _, want := range []string{"[U+1F3D7] scaffold", "Ø 48.3 ·", "[U+6771 4EAC]"} {
		if !strings.Contains(said, want) {
			t.Errorf("the pages do not say %q", want)
		}
	}
}

// A sign that a font lacks is a box, which no reader of text shows: every letter on a page is one
// that its font has a glyph for.
func TestPDFPrintsNoSignThatItsFontLacks(t *testing.T) {
	// Source: what the reports print, by the design and the trails of the checks.
	needed := "≤ ≥ γ ² ³ ⁴ ψ µ μ √ ± Ø · ₀ ½ → ≈ π φ λ ε χ σ ρ θ τ α β κ Φ ω ξ Δ Ω Σ × − – …"
	faces, err := newTypeface()
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range []*face{faces.regular, faces.bold, faces.mono} {
		if got := f.printable(needed); got != needed {
			t.Errorf("the face %s%s prints %q for %q", f.name, f.style, got, needed)
		}
	}
	for _, text := range hostile {
		r := withHostile(text)
		p := &printer{r: r, foldsTrails: true}
		p.sheet()
		s := newLeaves(faces, quantity.Metric)
		s.print(p.titled())
		s.layOut()
		s.footings(r)
		for i, page := range s.all {
			for _, l := range page.letters {
				for _, sign := range l.text {
					if l.face.advance(sign) < 0 {
						t.Fatalf("%.20q: page %d prints %U, which is not in its font: %q", text, i+1, sign, l.text)
					}
				}
			}
		}
		for _, sign := range s.metadata(text) {
			if sign > 0xffff {
				t.Errorf("%.20q: the entries of the document hold %U", text, sign)
			}
		}
	}
}

func TestPDFIsTheSameTwice(t *testing.T) {
	r, o := example(t, "gallery")
	first := pdf(t, r, o)
	for range 3 {
		if !bytes.Equal(first, pdf(t, r, o)) {
			t.Fatal("one result gives two documents")
		}
	}
	r.Date = "2026-03-04"
	if !bytes.Contains(pdf(t, r, o), []byte("/CreationDate (D:20260304000000)")) {
		t.Error("the document is not dated as the definition is")
	}
	r.Date = "first of March"
	if !bytes.Contains(pdf(t, r, o), []byte("/CreationDate (D:19700101000000)")) {
		t.Error("a document of a date in words is not dated 1970-01-01")
	}
}

// laid are the pages of one table under a heading.
func laid(t *testing.T, table *Table) *leaves {
	t.Helper()
	faces, err := newTypeface()
	if err != nil {
		t.Fatal(err)
	}
	s := newLeaves(faces, quantity.Metric)
	s.heading("A table")
	s.table(table)
	s.layOut()
	return s
}

// texts are what stands on a page.
func texts(p *leaf) (all []string) {
	for _, l := range p.letters {
		all = append(all, l.text)
	}
	return all
}

func TestPDFRepeatsTheHeadsOfATable(t *testing.T) {
	table := NewTable(Words("called"), Numbers("value"))
	for i := range 300 {
		table.Add(fmt.Sprintf("row %d", i), fmt.Sprint(i))
		if i%7 == 0 {
			table.Note("a note")
		}
	}
	s := laid(t, table)
	if len(s.all) < 3 {
		t.Fatalf("300 rows take %d pages", len(s.all))
	}
	rows := 0
	for i, p := range s.all {
		all := texts(p)
		if n := len(all) - len(slices.DeleteFunc(slices.Clone(all), func(text string) bool { return text == "called" })); n != 1 {
			t.Errorf("page %d has the heads %d times", i+1, n)
		}
		for _, text := range all {
			if strings.HasPrefix(text, "row ") {
				if text != fmt.Sprintf("row %d", rows) {
					t.Fatalf("page %d: %s where row %d is next", i+1, text, rows)
				}
				rows++
			}
		}
		for _, l := range p.letters {
			if l.at[1] > s.bottom {
				t.Errorf("page %d: %q stands below the text", i+1, l.text)
			}
		}
	}
	if rows != 300 {
		t.Errorf("%d rows of 300 are printed", rows)
	}
}

// A row that is higher than a page is parted, and loses nothing.
func TestPDFPartsARowThatIsHigherThanAPage(t *testing.T) {
	table := NewTable(Words("words"), Words("more"))
	table.Add("short", strings.Repeat("word ", 6000))
	words := 0
	for _, p := range laid(t, table).all {
		for word := range strings.FieldsSeq(strings.Join(texts(p), " ")) {
			if word == "word" {
				words++
			}
		}
	}
	if words != 6000 {
		t.Errorf("%d words of 6000 are printed", words)
	}
}

// Wide tables have smaller letters, then broken words, and at last become lists; no cell is cut.
func TestPDFFitsWideTables(t *testing.T) {
	for _, columns := range []int{4, 12, 20, 60} {
		var heads []Column
		var cells []string
		for c := range columns {
			heads, cells = append(heads, Numbers(fmt.Sprintf("head%d\nkNm", c))), append(cells, fmt.Sprintf("-1234.%03d", c))
		}
		table := NewTable(heads...)
		table.Add(cells...)
		table.Add(cells...)
		s := laid(t, table)
		said := flat(strings.Join(texts(s.all[0]), " "))
		for _, cell := range cells {
			if strings.Count(said, cell) != 2 {
				t.Errorf("%d columns: %s is printed %d times, not 2", columns, cell, strings.Count(said, cell))
			}
		}
		for _, l := range s.all[0].letters {
			if right := l.at[0] + l.face.wide(l.text, l.size); right > s.width-s.left+0.01 {
				t.Errorf("%d columns: %q ends at %.1f mm, the text at %.1f mm", columns, l.text, right, s.width-s.left)
			}
		}
	}
}

// A heading stands above something of what it heads.
func TestPDFLeavesNoHeadingAlone(t *testing.T) {
	faces, err := newTypeface()
	if err != nil {
		t.Fatal(err)
	}
	for lines := range 60 { // of text above, so that the heading comes to stand everywhere near the end
		s := newLeaves(faces, quantity.Metric)
		for range 40 + lines%30 {
			s.add(s.lines(faces.regular, bodyLetters, 0, 0, 0, "", "above")...)
		}
		s.heading("the heading")
		table := NewTable(Words("head"))
		table.Add("first")
		table.Add("second")
		s.table(table)
		s.layOut()
		for i, p := range s.all {
			if all := texts(p); slices.Contains(all, "the heading") && !slices.Contains(all, "first") {
				t.Errorf("%d lines: the heading ends page %d", 40+lines%30, i+1)
			}
		}
	}
}

// Pages do not grow with the run, as the text does not.
func TestPDFOfALongRunIsFolded(t *testing.T) {
	faces, err := newTypeface()
	if err != nil {
		t.Fatal(err)
	}
	pagesOf := func(posts int) int {
		p := &printer{r: longRun(posts), foldsTrails: true}
		p.sheet()
		s := newLeaves(faces, quantity.Metric)
		s.print(p.titled())
		s.layOut()
		return len(s.all)
	}
	if short, folded := pagesOf(100), pagesOf(long); folded > short+4 { // keys of the inputs are shown up to 200
		t.Errorf("a run of %d posts takes %d pages, one of 100 takes %d", long, folded, short)
	}
}

func BenchmarkPDF(b *testing.B) {
	for _, posts := range []int{9, 101} {
		r := drawnRun(b, posts)
		b.Run(fmt.Sprintf("posts=%d", posts), func(b *testing.B) {
			b.ReportAllocs()
			size := 0
			for b.Loop() {
				size = len(pdf(b, r, TextOptions{}))
			}
			b.ReportMetric(float64(size), "bytes")
		})
	}
}

// drawnRun checks a gallery of so many posts, with its trails and its drawings.
func drawnRun(t testing.TB, posts int) *check.Result {
	t.Helper()
	text := strings.NewReplacer(`"9 m"`, fmt.Sprintf(`"%g m"`, 1.5*float64(posts-1)), `["5.8 m"]`, `"none"`, `["4.6 m"]`, `"none"`).Replace(string(exampleText(t, "gallery")))
	r, _ := drawnOf(t, text)
	return r
}
