package report

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/golden"
	"example.com/stanchion/internal/quantity"
)

// drawnExamples are results with their drawings: straight, with corners and a slope, with a gate and a
// gap, with braces, with a wall, in US units, with bolts, on a bracket, in earth, on weights, in rows, and
// one that fails.
func drawnExamples() []string {
	return []string{
		"gallery", "cellar-stair", "sampling-platform", "quay-gate", "pump-terrace", "weir-bridge", "screen-house-asd", "boiler-gallery",
		"mill-platform", "orchard-bank", "hangar-roof", "bund-path", "kiln-walk", "settling-tanks", "loading-bay", "snow-lookout", "dosing-room",
	}
}

// drawnResult is the result of an example with its diagrams, in the units of its file.
func drawnResult(t *testing.T, name string) (*check.Result, TextOptions) {
	t.Helper()
	found := drawnResults()[name]
	if found.err != nil {
		t.Fatal(found.err)
	}
	return found.result, TextOptions{Units: found.units}
}

type foundDrawing struct {
	result *check.Result
	units  quantity.System
	err    error
}

// drawnResults are those of all examples.
var drawnResults = sync.OnceValue(func() map[string]foundDrawing {
	found := map[string]foundDrawing{}
	for _, name := range drawnExamples() {
		data, err := os.ReadFile("../../testdata/" + name + ".toml")
		if err != nil {
			found[name] = foundDrawing{err: err}
			continue
		}
		found[name] = drawnFrom(name+".toml", data)
	}
	return found
})

func drawnFrom(name string, data []byte) foundDrawing {
	d, err := barrier.Parse(name, data)
	if err != nil {
		return foundDrawing{err: err}
	}
	r, err := check.Run(d, check.Options{Diagrams: true, Units: d.Units})
	return foundDrawing{r, d.Units, err}
}

// The drawings of three examples: a straight run, one with a slope and a corner, one in US units.
func TestDrawingGoldens(t *testing.T) {
	for _, want := range []struct {
		name string
		what []string
	}{
		{"gallery", []string{"elevation", "deflected", "moment", "influence"}},
		{"cellar-stair", []string{"elevation", "plan"}},
		{"kiln-walk", []string{"elevation", "base"}},
	} {
		r, o := drawnResult(t, want.name)
		for _, what := range want.what {
			golden.Check(t, filepath.Join("testdata", want.name+"-"+what+".svg"), []byte(svgOf(t, r, what, o)))
		}
	}
}

func svgOf(t *testing.T, r *check.Result, what string, o TextOptions) string {
	t.Helper()
	var out bytes.Buffer
	if err := DrawingSVG(&out, r, what, o); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// Every drawing of every example is well-formed XML with a title and a description, asks for nothing
// from outside, runs nothing, has ids begun by its own prefix alone, and is the same a second time.
func TestDrawingsAreSound(t *testing.T) {
	names, about := DrawingNames()
	if len(names) != 6 || len(about) != 6 {
		t.Fatalf("%d drawings with %d words, want 6", len(names), len(about))
	}
	for _, name := range drawnExamples() {
		r, o := drawnResult(t, name)
		for _, what := range names {
			svg := svgOf(t, r, what, o)
			if svg != svgOf(t, r, what, o) {
				t.Errorf("%s %s: another drawing the second time", name, what)
			}
			soundSVG(t, name+" "+what, svg, "stanchion-"+what)
			if !strings.Contains(svg, "C1 "+check.PreCheck) {
				t.Errorf("%s %s: no C1", name, what)
			}
		}
	}
}

// soundSVG holds what TestDrawingsAreSound promises of one drawing.
func soundSVG(t *testing.T, name, svg, id string) {
	t.Helper()
	var opened []string
	ids := map[string]bool{}
	for decoder := xml.NewDecoder(strings.NewReader(svg)); ; {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		opened = append(opened, start.Name.Local)
		for _, a := range start.Attr {
			switch {
			case a.Name.Local == "id" && (ids[a.Value] || !strings.HasPrefix(a.Value, id+"-")):
				t.Errorf("%s: id %q stands twice or has another prefix than %q", name, a.Value, id)
			case a.Name.Local == "id":
				ids[a.Value] = true
			case strings.HasPrefix(a.Name.Local, "on"), a.Name.Local == "href", a.Name.Local == "style":
				t.Errorf("%s: attribute %s", name, a.Name.Local)
			}
		}
	}
	for _, wanted := range []string{"title", "desc"} {
		if n := len(slices.DeleteFunc(slices.Clone(opened), func(s string) bool { return s != wanted })); n != 1 {
			t.Errorf("%s: %d of %s, want one", name, n, wanted)
		}
	}
	for _, element := range opened {
		if !slices.Contains([]string{"svg", "title", "desc", "defs", "pattern", "path", "text"}, element) {
			t.Errorf("%s: element %s", name, element)
		}
	}
	for _, used := range regexp.MustCompile(`url\(#([^)]*)\)`).FindAllStringSubmatch(svg, -1) {
		if !ids[used[1]] {
			t.Errorf("%s: no pattern %q", name, used[1])
		}
	}
	if !strings.Contains(svg, `role="img"`) || regexp.MustCompile(`"[^"]*(NaN|Inf)[^"]*"`).MatchString(regexp.MustCompile(`>[^<]*<`).ReplaceAllString(svg, "><")) {
		t.Errorf("%s: no role, or a number that is none", name)
	}
}

// No words of a drawing cover others, and all of it stays on its sheet, which a page of A4 and Letter
// takes.
func TestDrawingsKeepTheirWordsApart(t *testing.T) {
	for _, name := range drawnExamples() {
		r, o := drawnResult(t, name)
		for _, d := range drawings(r, o) {
			apart(t, name+" "+d.title, d)
		}
	}
}

func apart(t *testing.T, name string, d *drawing) {
	t.Helper()
	var boxes []lettered
	var words []string
	for i := range d.marks {
		m := &d.marks[i]
		for _, p := range m.points {
			if m.kind != lettering && !(p[0] >= 0 && p[0] <= d.width && p[1] >= 0 && p[1] <= d.height) {
				t.Errorf("%s: a mark at %.1f, %.1f is off the sheet of %.0f x %.0f", name, p[0], p[1], d.width, d.height)
			}
		}
		if m.kind != lettering {
			continue
		}
		box := boxOf(m)
		if box.left < 0 || box.right > d.width || box.top < 0 || box.bottom > d.height {
			t.Errorf("%s: %q is off the sheet: %.1f to %.1f of %.0f, %.1f to %.1f of %.0f", name, m.text, box.left, box.right, d.width, box.top, box.bottom, d.height)
		}
		for k := range boxes {
			if boxes[k].meets(box) && m.turn == 0 {
				t.Errorf("%s: %q covers %q", name, m.text, words[k])
			}
		}
		boxes, words = append(boxes, box), append(words, m.text)
	}
	if d.height > sheetHeight || d.width != sheetWidth {
		t.Errorf("%s: %.0f x %.0f mm, more than a page takes", name, d.width, d.height)
	}
}

// Every number that a drawing shows stands in the result: among its values as they print, in its words,
// or as a number of a post, a bay or a leg, or as a difference of two places along the run.
func TestDrawnNumbersAreThoseOfTheResult(t *testing.T) {
	for _, name := range drawnExamples() {
		r, o := drawnResult(t, name)
		known := printedNumbers(t, r, o)
		for _, d := range drawings(r, o) {
			for i := range d.marks {
				m := &d.marks[i]
				if m.kind != lettering || m.size == letterSize && m.anchor == atStart && m.points[0][0] == 2 { // notes are words
					continue
				}
				for _, number := range numbers().FindAllString(m.text, -1) {
					if !known[number] {
						t.Errorf("%s, %s: %q in %q is not of the result", name, d.title, number, m.text)
					}
				}
			}
		}
	}
}

// numbers finds numbers in words.
var numbers = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`\d+(?:\.\d+)?`) })

// printedNumbers are the numbers of a result as drawings print them.
func printedNumbers(t *testing.T, r *check.Result, o TextOptions) map[string]bool {
	t.Helper()
	known := map[string]bool{}
	add := func(texts ...string) {
		for _, text := range texts {
			for _, number := range numbers().FindAllString(text, -1) {
				known[number] = true
			}
		}
	}
	value := func(v float64) {
		for _, unit := range []string{"Nm", "N", "mm", "m"} {
			if read := readingIn(o.Units, unit); read.unit != feetAndInches {
				add(valueIn(o.Units, math.Abs(v), unit))
			}
		}
		f := influenceSheet{o: o, line: &check.Diagram{}}
		for _, unit := range []string{"Nm/N", "mm/N", "N/N", "1/N"} {
			f.line.Unit = unit
			add(f.words(math.Abs(v)))
		}
		add(drawnLength(math.Abs(v), o.Units), roundedUp(math.Abs(v)), degrees(math.Abs(v)), quantity.Format(v, quantity.Mass, o.Units))
		if v == math.Trunc(v) && math.Abs(v) < 1e6 { // the number of a post, a bay, a leg
			add(strconv.Itoa(int(math.Abs(v))))
		}
	}
	text, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	var plain any
	if err := json.Unmarshal(text, &plain); err != nil {
		t.Fatal(err)
	}
	eachValue(plain, value, func(s string) { add(s) })
	for _, bay := range r.Shape.Bays {
		value(bay.To - bay.From)
	}
	var places []float64
	for _, s := range r.Shape.Course {
		places = append(places, s.X)
	}
	for _, p := range r.Shape.Posts {
		places = append(places, p.X)
	}
	for i := range places {
		for _, to := range places[i:] {
			value(to - places[i])
		}
	}
	if b := r.Shape.Base.Bracket; b != nil {
		value(b.Rows[0] - b.Rows[1])
	}
	for i := range r.Bolts { // how many stand in a row
		add(fmt.Sprint(i + 1))
	}
	return known
}

// eachValue visits the numbers and the words of a JSON document.
func eachValue(v any, number func(float64), words func(string)) {
	switch v := v.(type) {
	case float64:
		number(v)
	case string:
		words(v)
	case []any:
		for _, e := range v {
			eachValue(e, number, words)
		}
	case map[string]any:
		for _, e := range v {
			eachValue(e, number, words)
		}
	}
}

// Titles come out harmless: as text, cut where they are longer than anybody reads.
func TestDrawingsOfHostileTitles(t *testing.T) {
	r, o := drawnResult(t, "gallery")
	names, _ := DrawingNames()
	for _, title := range []string{
		`<script>alert("1")</script> & 'quoted' ]]>`, "שלום\u202e dlrow", "🚧 barrier 🚧", strings.Repeat("long ", 2000), strings.Repeat("x", 10000), "\x00\x1b[31m\xff", "",
	} {
		hostile := *r
		hostile.Title = title
		for _, what := range names {
			svg := svgOf(t, &hostile, what, o)
			soundSVG(t, fmt.Sprintf("%s of %.20q", what, title), svg, "stanchion-"+what)
			if strings.Contains(svg, "<script") || len(svg) > 200_000 {
				t.Errorf("%s of %.20q: %d bytes, or a script", what, title, len(svg))
			}
		}
		for _, d := range drawings(&hostile, o) {
			apart(t, fmt.Sprintf("%s of %.20q", d.title, title), d.headed(&hostile))
		}
	}
}

// A result without diagrams has no drawing, and says so in place of one; a name that no drawing has is
// an error that names those that are.
func TestDrawingOfNothing(t *testing.T) {
	if d := drawings(fixture(), TextOptions{}); len(d) != 0 {
		t.Errorf("%d drawings without a shape", len(d))
	}
	if svg := svgOf(t, fixture(), "plan", TextOptions{}); !strings.Contains(svg, "made without diagrams") {
		t.Errorf("nothing says why there is no drawing: %s", svg)
	}
	if err := DrawingSVG(io.Discard, fixture(), "side", TextOptions{}); err == nil || !strings.Contains(err.Error(), "elevation, plan") {
		t.Errorf("error %v for a drawing that nothing is called", err)
	}
}

// A long run is drawn in rows of which those that govern are kept, with words on the others, and its
// file stays small.
func TestDrawingsOfALongRun(t *testing.T) {
	found := drawnFrom("dyke.toml", []byte(`title = "Dyke crest"
basis = "EN"
[run]
length = "300 m"
spacing = "1.5 m"
[post]
tube = "EN 10255 DN40 medium"
grade = "S195T"
height = "1100 mm"
base = { stiffness = "150 kNm/rad" }
[[rail]]
name = "top"
height = "1100 mm"
tube = "EN 10255 DN40 medium"
grade = "S195T"
through = true
splices = ["7 m", "150.4 m"]
stock = "200 m"
[[load]]
schedule = "EN ISO 14122-3"
[limits]
deflection = "25 mm"
`))
	if found.err != nil {
		t.Fatal(found.err)
	}
	r, o := found.result, TextOptions{}
	for _, d := range drawings(r, o) {
		apart(t, d.title, d)
	}
	names, _ := DrawingNames()
	for _, what := range names {
		svg := svgOf(t, r, what, o)
		soundSVG(t, what, svg, "stanchion-"+what)
		if len(svg) > 120_000 {
			t.Errorf("%s of 201 posts has %d bytes", what, len(svg))
		}
	}
	svg := svgOf(t, r, "elevation", o)
	if !strings.Contains(svg, "Of 200 bays those that govern are drawn: ") {
		t.Error("nothing says which bays are left out")
	}
	post := strings.TrimPrefix(r.Governing.Overall.Element, "post ")
	if !strings.Contains(svg, ">"+post+"</text>") {
		t.Errorf("post %s governs and is not drawn", post)
	}
}

// Layouts that no example has keep their words apart too: one bay, narrow and wide bays with overhangs,
// many rails, corners close to each other, stairs down and up, loads in every direction, wind.
func TestDrawingsOfOddLayouts(t *testing.T) {
	const point = "[[load]]\nname = \"push\"\nkind = \"point\"\nvalue = \"1 kN\"\nrail = \"top\"\ndirection = \"%s\"\n"
	for name, part := range map[string]struct{ units, run, foot, rails, load string }{
		"one bay":        {run: `length = "1.2 m"` + "\n" + `spacing = "1.5 m"`},
		"narrow bays":    {run: "length = \"6 m\"\nspacing = \"0.4 m\"\noverhang = [\"0.3 m\", \"0.2 m\"]"},
		"wide bays":      {run: "length = \"120 m\"\nspacing = \"12 m\""},
		"odd bays":       {units: "US", run: `posts = ["0 m", "0.333 m", "0.777 m", "2.345 m", "2.9 m", "5.1 m", "5.3 m"]`},
		"many rails":     {run: "length = \"14 m\"\nspacing = \"2 m\"", rails: "1000 mm, 900 mm, 800 mm, 200 mm"},
		"close corners":  {run: "legs = [{length = \"6 m\"}, {length = \"2 m\", turn = \"90 deg\"}, {length = \"6 m\", turn = \"90 deg\"}, {length = \"1 m\", turn = \"-90 deg\"}]\nspacing = \"1.5 m\"\nhazard = \"right\""},
		"stairs":         {run: "legs = [{length = \"4 m\", pitch = \"-35 deg\"}, {length = \"1.5 m\", turn = \"0 deg\"}, {length = \"4 m\", pitch = \"40 deg\", turn = \"-90 deg\"}]\nspacing = \"1.3 m\""},
		"one long stair": {run: "legs = [{length = \"18 m\", pitch = \"45 deg\"}]\nspacing = \"1.5 m\""},
		"low feet":       {units: "US", run: "length = \"9 m\"\nspacing = \"1.5 m\"\noverhang = \"300 mm\"", foot: `stiffness = ["60 kNm/rad", "200 kNm/rad"], level = "-200 mm"`},
		"load down":      {run: "length = \"9 m\"\nspacing = \"1.5 m\"", load: fmt.Sprintf(point, "down")},
		"load along":     {run: "length = \"9 m\"\nspacing = \"1.5 m\"", load: fmt.Sprintf(point, "along")},
		"load any way":   {run: "length = \"9 m\"\nspacing = \"1.5 m\"\nhazard = \"right\"", load: fmt.Sprintf(point, "any")},
		"wind":           {run: "length = \"9 m\"\nspacing = \"1.5 m\"", load: "[[load]]\nname = \"gale\"\nkind = \"wind\"\npressure = \"2 kN/m2\"\n"},
	} {
		if part.foot == "" {
			part.foot = `stiffness = "150 kNm/rad"`
		}
		if part.units == "" {
			part.units = "metric"
		}
		if part.load == "" {
			part.load = "[[load]]\nschedule = \"EN ISO 14122-3\"\n"
		}
		var text strings.Builder
		fmt.Fprintf(&text, "title = %q\nbasis = \"EN\"\nunits = %q\n[run]\n%s\n[post]\ntube = \"EN 10255 DN40 medium\"\ngrade = \"S195T\"\nheight = \"1100 mm\"\nbase = { %s }\n", name, part.units, part.run, part.foot)
		for i, height := range strings.Split(strings.TrimSuffix("1100 mm, "+part.rails, ", "), ", ") {
			names := []string{"top", "a name that is longer than the margin", "c", "d", "e"}
			fmt.Fprintf(&text, "[[rail]]\nname = %q\nheight = %q\ntube = \"EN 10255 DN40 medium\"\ngrade = \"S195T\"\nthrough = false\nstock = \"300 m\"\n", names[i], height)
		}
		found := drawnFrom(name, []byte(text.String()+part.load+"[limits]\ndeflection = \"25 mm\"\n"))
		if found.err != nil {
			t.Errorf("%s: %v", name, found.err)
			continue
		}
		for _, d := range drawings(found.result, TextOptions{Units: found.units}) {
			apart(t, name+": "+d.title, d)
			soundSVG(t, name+": "+d.title, string(d.svg("odd")), "odd")
		}
	}
}
