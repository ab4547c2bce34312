package barrier_test

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/golden"
	"example.com/stanchion/internal/quantity"
)

// TestBadDefinitions reads each broken file of testdata/bad, named for its fault, and
// compares the whole message with the golden beside it.
func TestBadDefinitions(t *testing.T) {
	files, err := filepath.Glob("testdata/bad/*.toml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no broken definitions: %v", err)
	}
	for _, file := range files {
		name := filepath.Base(file)
		t.Run(strings.TrimSuffix(name, ".toml"), func(t *testing.T) {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			_, err = barrier.Parse(name, data)
			problems, ok := errors.AsType[barrier.Problems](err)
			if !ok {
				t.Fatalf("Parse = %v, want Problems", err)
			}
			golden.Check(t, strings.TrimSuffix(file, ".toml")+".txt", []byte(problems.Error()+"\n"))
		})
	}
}

// TestContractExample reads the example of the definition format and compares what it
// says, worked out by hand, with what was read.
func TestContractExample(t *testing.T) {
	d := parseFile(t, "testdata/gallery.toml")
	const source = "the file itself, converted to SI by hand"
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"posts", float64(len(d.Run.Posts)), 7}, // 9 m in bays of 1.5 m
		{"x of post 1", d.Run.Posts[0], 0},
		{"x of post 4", d.Run.Posts[3], 4.5},
		{"x of post 7", d.Run.Posts[6], 9},
		{"toe plate height", d.Run.ToePlate.Height, 0.12},
		{"toe plate gap", d.Run.ToePlate.Gap, 0.01},
		{"post diameter", d.Post.Ring.OD, 0.0483},
		{"post wall", d.Post.Ring.Wall, 0.0032},
		{"fy", d.Post.Grade.Fy, 195e6},
		{"post height", d.Post.Height, 1.1},
		{"foot stiffness", d.Post.Base.Stiffness[0], 150e3},
		{"level", d.Post.Base.Level, 0},
		{"rails", float64(len(d.Rails)), 2},
		{"height of the top rail", d.Rails[0].Height, 1.1},
		{"height of the knee rail", d.Rails[1].Height, 0.6},
		{"splice of the top rail", d.Rails[0].Splices[0], 5.8},
		{"splice of the knee rail", d.Rails[1].Splices[0], 4.6},
		{"stock of the top rail", d.Rails[0].Stock, 6},
		{"stock of the knee rail", d.Rails[1].Stock, 6},
		{"deflection limit", d.Limits.Deflection.Length, 0.025},
		{"loads", float64(len(d.Loads)), 1},
	} {
		// 48.3 mm may be one rounding away from 0.0483 m.
		if math.Abs(c.got-c.want) > 1e-15*math.Abs(c.want) {
			t.Errorf("%s = %v, want %v (source: %s)", c.what, c.got, c.want, source)
		}
	}
	for _, c := range []struct{ what, got, want string }{
		{"title", d.Title, "Filter gallery walkway, north edge"},
		{"file", d.File, "gallery.toml"},
		{"basis", string(d.Basis), "EN"},
		{"hazard", string(d.Run.Hazard), "left"},
		{"toe plate", string(d.Run.ToePlate.State), "given"},
		{"tube", d.Post.Name, "EN 10255 DN40 medium"},
		{"grade", d.Post.Grade.Name, "S195T"},
		{"name of rail 1", d.Rails[0].Name, "top"},
		{"splices of the knee rail", string(d.Rails[1].SpliceState), "given"},
		{"moment of fittings", string(d.Fitting.Moment.Kind), "free"},
		{"schedule", d.Loads[0].Schedule.Name, "EN ISO 14122-3"},
		{"name of the load", d.Loads[0].Name, "EN ISO 14122-3"},
	} {
		if c.got != c.want {
			t.Errorf("%s = %q, want %q (source: %s)", c.what, c.got, c.want, source)
		}
	}
	if !d.Rails[1].Through || !d.LeaveOut.Fitting || !d.LeaveOut.Base || d.LeaveOut.Geometry {
		t.Errorf("through of knee = %v, left out = %+v (source: %s)", d.Rails[1].Through, d.LeaveOut, source)
	}
}

// TestDefaults reads a definition that leaves out what may be left out. Each default
// that bears on the result must be a sentence with its value.
func TestDefaults(t *testing.T) {
	d := parse(t, `basis = "EN"
run = { length = "10 m", spacing = "3 m" }
post = { tube = "EN 10255 DN40 medium", grade = "S195T" }
rail = [
	{ height = "1.1 m", tube = { od = "42.4 mm", wall = "2.5 mm" }, grade = { fy = "235 MPa", fu = "360 MPa" }, through = true },
	{ height = "50 cm", tube = "EN 10255 DN40 medium", grade = "S195T", through = false },
]
[[load]]
kind = "line"
value = "0.36 kN/m"
direction = { azimuth = "90 deg" }
`)
	got := strings.Join(slices.Concat([]string{"assumptions:"}, said(d.Assumptions), []string{"cautions:"}, said(d.Cautions)), "\n") + "\n"
	golden.Check(t, "testdata/defaults.txt", []byte(got))
	var inUS strings.Builder
	for _, s := range slices.Concat(d.Assumptions, d.Cautions) {
		inUS.WriteString(s.In(quantity.US) + "\n")
	}
	golden.Check(t, "testdata/defaults-us.txt", []byte(inUS.String()))

	if want := []float64{0, 2.5, 5, 7.5, 10}; !slices.Equal(d.Run.Posts, want) {
		t.Errorf("posts = %v, want %v: the fewest equal bays no longer than 3 m", d.Run.Posts, want)
	}
	if d.Title != "test" || d.Post.Height != 1.1 || d.Post.Base.Stiffness != nil {
		t.Errorf("title %q, post height %v, foot stiffness %v; want the file's name, the highest rail, none", d.Title, d.Post.Height, d.Post.Base.Stiffness)
	}
	if d.Rails[0].Name != "rail 1" || d.Rails[0].SpliceState != "unknown" || d.Rails[1].SpliceState != "cut" {
		t.Errorf("rails = %+v", d.Rails)
	}
	own := d.Loads[0].Own
	if own.Rail != 0 || own.Height != nil || own.Direction.Azimuth != math.Pi/2 || own.Direction.Elevation != 0 || own.Value != 360 {
		t.Errorf("own load = %+v, want 360 N/m outward on the axis of the highest rail", own)
	}
	if d.Loads[0].Name != "load 1" || d.Run.ToePlate.State != "not mentioned" {
		t.Errorf("load %q, toe plate %q", d.Loads[0].Name, d.Run.ToePlate.State)
	}
}

// TestGiven reads what the example of the format does not show.
func TestGiven(t *testing.T) {
	change := func(pairs ...string) *barrier.Definition {
		return parse(t, strings.NewReplacer(pairs...).Replace(readFile(t, "testdata/gallery.toml")))
	}
	d := change(`stiffness = "150 kNm/rad"`, `stiffness = ["60 kNm/rad", "rigid"]`, `level     = "0 mm"`, `level = "-80 mm"`)
	if k := d.Post.Base.Stiffness; len(k) != 2 || k[0] != 60e3 || !math.IsInf(k[1], 1) || d.Post.Base.Level != -0.08 {
		t.Errorf("foot = %+v, want 60 kNm/rad to rigid at -80 mm", d.Post.Base)
	}
	d = change(`stiffness = "150 kNm/rad"`, `stiffness = "rigid"`)
	if k := d.Post.Base.Stiffness; len(k) != 1 || !math.IsInf(k[0], 1) {
		t.Errorf("foot = %v, want rigid", k)
	}
	d = change(`length  = "9 m"`, `posts = ["2 m", "5 m", "8 m"]`, `spacing = "1.5 m"`, ``, `splices = ["5.8 m"]`, `splices = "none"`, `splices = ["4.6 m"]`, `through = true`)
	if !slices.Equal(d.Run.Posts, []float64{2, 5, 8}) || d.Rails[0].SpliceState != "given" || len(d.Rails[0].Splices) != 0 || d.Rails[1].SpliceState != "not needed" {
		t.Errorf("posts %v, splices %q %v and %q", d.Run.Posts, d.Rails[0].SpliceState, d.Rails[0].Splices, d.Rails[1].SpliceState)
	}
	d = change(`moment = "free"`, `slip_force = "3 kN"
values = "characteristic"
values_factor = 1.25
transverse_force = "5 kN"`)
	if f := d.Fitting; *f.SlipForce != 3000 || *f.TransverseForce != 5000 || f.SlipMoment != nil || f.Values != "characteristic" || f.ValuesFactor != 1.25 {
		t.Errorf("fitting = %+v", f)
	}
	d = change(`deflection = "25 mm"`, "deflection = \"none\"\noverride = true\nvertical = \"10 mm\"")
	if l := d.Limits; !l.DeflectionNone || l.Deflection != nil || l.Vertical.Length != 0.01 || !l.Override {
		t.Errorf("limits = %+v", l)
	}
	if !containsPart(said(d.Cautions), "30 mm of EN ISO 14122-3") {
		t.Errorf("cautions %q do not say that the limit of the schedule is set aside", d.Cautions)
	}
	d = change(`splices = ["5.8 m"]`, `splices = ["4.4 m", "8 m"]`)
	if !containsPart(said(d.Cautions), "end bay") {
		t.Errorf("cautions %q do not tell of the splice in the last bay", d.Cautions)
	}
	d = change(`units = "metric"`, `wall_basis = "minimum"`)
	// EN 10255: the wall of a welded tube may be 10 % under nominal (from memory).
	if want := 0.9 * 0.0032; math.Abs(d.Post.Ring.Wall-want) > 1e-12 {
		t.Errorf("least wall = %v, want %v (source: EN 10255, minus 10 %%, from memory)", d.Post.Ring.Wall, want)
	}
}

// TestStandardInput is how "-" is named.
func TestStandardInput(t *testing.T) {
	_, err := barrier.Parse("-", nil)
	if err == nil || !strings.HasPrefix(err.Error(), "standard input:1:1: ") {
		t.Errorf("Parse(\"-\", nil) = %v", err)
	}
}

// TestInputs checks that every value is listed as read, with its line.
func TestInputs(t *testing.T) {
	d := parse(t, strings.Replace(readFile(t, "testdata/gallery.toml"), `splices = ["5.8 m"]`, "splices = [ # one\n\t\"5.8 m\",\n]", 1))
	var b strings.Builder
	for _, in := range d.Inputs {
		fmt.Fprintf(&b, "%d %s: %s\n", in.Line, in.Path, in.Text)
	}
	golden.Check(t, "testdata/inputs.txt", []byte(b.String()))
}

// TestLargeFile reads the largest run that is allowed and refuses a larger file, both
// at once.
func TestLargeFile(t *testing.T) {
	var b strings.Builder
	for i := range barrier.MaxPosts {
		fmt.Fprintf(&b, "\"%d m\", ", 2*i)
	}
	file := readFile(t, "testdata/gallery.toml")
	file = strings.Replace(file, "length  = \"9 m\"\nspacing = \"1.5 m\"", "posts = ["+b.String()+"]", 1)
	file = strings.Replace(file, `splices = ["5.8 m"]`, "", 1)
	file = strings.Replace(file, `splices = ["4.6 m"]`, "through = true", 1)
	if d := parse(t, file); len(d.Run.Posts) != barrier.MaxPosts {
		t.Errorf("%d posts were read, want %d", len(d.Run.Posts), barrier.MaxPosts)
	}
	_, err := barrier.Parse("test.toml", []byte(strings.Replace(file, `"2 m", `, `"2 m", "3 m", `, 1)))
	if err == nil || !strings.Contains(err.Error(), "200001 posts, at most 200000 are read") {
		t.Errorf("one post more = %v", shortened(err))
	}
	_, err = barrier.Parse("test.toml", append([]byte(file), make([]byte, barrier.MaxFileSize)...))
	if err == nil || !strings.Contains(err.Error(), "more than 4 MiB") {
		t.Errorf("a file of over 4 MiB = %v", shortened(err))
	}
	_, err = barrier.Parse("test.toml", []byte(strings.ReplaceAll(file, ` m", `, `", `)))
	problems, _ := errors.AsType[barrier.Problems](err)
	if len(problems) < 100 || !strings.Contains(err.Error(), "more problems") {
		t.Errorf("%d problems of a list without units = %v", len(problems), shortened(err))
	}
}

func shortened(err error) string {
	text := fmt.Sprint(err)
	return text[:min(len(text), 500)]
}

func containsPart(texts []string, part string) bool {
	return slices.ContainsFunc(texts, func(text string) bool { return strings.Contains(text, part) })
}

func parseFile(t *testing.T, file string) *barrier.Definition {
	t.Helper()
	d, err := barrier.Parse(filepath.Base(file), []byte(readFile(t, file)))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func parse(t *testing.T, text string) *barrier.Definition {
	t.Helper()
	d, err := barrier.Parse("folder/test.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func readFile(t testing.TB, file string) string {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// said returns sentences in metric units.
func said(sentences []quantity.Sentence) []string {
	var all []string
	for _, s := range sentences {
		all = append(all, s.In(quantity.Metric))
	}
	return all
}
