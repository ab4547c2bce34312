package explore_test

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/internal/verification"
)

func document(t testing.TB, name string, swaps ...string) *barrier.Document {
	t.Helper()
	data, err := os.ReadFile("../../testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	text := string(data)
	for i := 0; i < len(swaps); i += 2 {
		if !strings.Contains(text, swaps[i]) {
			t.Fatalf("%s has no %q", name, swaps[i])
		}
		text = strings.ReplaceAll(text, swaps[i], swaps[i+1])
	}
	doc, err := barrier.Read(name, []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

func definition(t testing.TB, doc *barrier.Document, changes ...barrier.Change) *barrier.Definition {
	t.Helper()
	d, err := doc.Definition(changes...)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// TestMassByHand weighs the gallery, 7 posts of 1.1 m and 2 rails of 9 m, by the masses that
// mass tables of the standards print to three figures. Provenance of the masses: from memory.
func TestMassByHand(t *testing.T) {
	record := verification.New(t, verification.Answers)
	doc := document(t, "gallery.toml")
	for _, c := range []struct {
		tube, grade string
		perMetre    float64 // kg/m, as printed
	}{
		{"EN 10219 48.3x3.2", "S235JRH", 3.56},
		{"EN 10219 42.4x3.2", "S235JRH", 3.09},
		{"EN 10219 60.3x3.2", "S235JRH", 4.51},
		{"EN 10255 DN40 medium", "S195T", 3.56},
		{"ASME B36.10M NPS 1-1/2 Sch 40", "Grade B", 4.05},
	} {
		d := definition(t, doc,
			barrier.Change{Path: "post.tube", Value: c.tube}, barrier.Change{Path: "post.grade", Value: c.grade},
			barrier.Change{Path: "rail[0].tube", Value: c.tube}, barrier.Change{Path: "rail[0].grade", Value: c.grade},
			barrier.Change{Path: "rail[1].tube", Value: c.tube}, barrier.Change{Path: "rail[1].grade", Value: c.grade},
			barrier.Change{Path: "fitting.mass", Value: "0.5 kg"})
		got := explore.MassOf(d)
		const lastFigure = 0.005 // kg/m
		for _, part := range []struct {
			what        string
			got, metres float64
		}{{"posts", got.Posts, 7 * 1.1}, {"rails", got.Rails, 2 * 9}} {
			want := part.metres * c.perMetre
			if math.Abs(part.got-want) > part.metres*lastFigure {
				t.Errorf("%s: %s weigh %.3f kg, by the printed mass %.3f", c.tube, part.what, part.got, want)
			}
			record.Add(verification.Comparison{
				Row: "mass of posts and rails", Case: c.tube + ", " + part.what + ", kg", Source: "printed mass by the metre, from memory", Provenance: verification.Memory, Theirs: want, Ours: part.got,
			})
		}
		if want := 7 * 2 * 0.5; got.Fittings != want {
			t.Errorf("%s: fittings weigh %v kg, want %v: two at each of 7 posts", c.tube, got.Fittings, want)
		}
	}
}

// Posts that stand 100 mm below the surface are as much longer: 7 of 1.2 m at the printed 3.56 kg/m (memory).
func TestMassOfPostsBelowTheSurface(t *testing.T) {
	d := definition(t, document(t, "gallery.toml"), barrier.Change{Path: "post.base.level", Value: "-100 mm"})
	if got, want := explore.MassOf(d).Posts, 7*1.2*3.56; math.Abs(got-want) > 7*1.2*0.005 {
		t.Errorf("posts weigh %.3f kg, by the printed mass %.3f", got, want)
	}
}

// TestMassIsThatOfTheFrame weighs every example that gives its fittings a mass as its frame does:
// at gaps, corners and walls, and on slopes, where a member is as long as its two nodes are
// apart.
func TestMassIsThatOfTheFrame(t *testing.T) {
	files, err := filepath.Glob("../../testdata/*.toml")
	if err != nil {
		t.Fatal(err)
	}
	weighed := 0
	for _, file := range files {
		d := definition(t, document(t, filepath.Base(file)))
		if d.Fitting.Mass == 0 {
			d = definition(t, document(t, filepath.Base(file)), barrier.Change{Path: "fitting.mass", Value: "0.7 kg"})
		}
		lumps := 0.0
		for _, lump := range d.Frame(free(d)).Lumps {
			lumps += lump.Mass
		}
		weighed++
		if got := explore.MassOf(d).Fittings; math.Abs(got-lumps) > 1e-9 {
			t.Errorf("%s: fittings weigh %v kg, %v in the frame", file, got, lumps)
		}
	}
	if weighed < 30 {
		t.Errorf("%d examples were weighed", weighed)
	}
}

// free is a layout on rigid feet with free joints.
func free(d *barrier.Definition) barrier.Layout {
	joint := barrier.Joint{Kind: barrier.FreeJoint}
	return barrier.Layout{FootStiffness: math.Inf(1), Rails: make([]barrier.Joints, len(d.Rails)), Joint: joint, Corner: joint}
}

// TestCostByHand prices the gallery: 7 posts of 1.1 m, 2 rails of 9 m, 14 fittings, 7 feet.
func TestCostByHand(t *testing.T) {
	d := definition(t, document(t, "gallery.toml"))
	got := explore.CostOf(d, explore.Prices{Post: 10, Rail: 6, Fitting: 9.5, Foot: 40})
	const want = 7*1.1*10 + 2*9*6 + 14*9.5 + 7*40 // 77 + 108 + 133 + 280
	verification.New(t, verification.Answers).Add(verification.Comparison{
		Row: "cost of a barrier", Case: "gallery", Source: "posts, rails, fittings and feet by hand", Provenance: verification.Derived, Theirs: want, Ours: got,
	})
	if math.Abs(got-want) > 1e-9 {
		t.Errorf("the gallery costs %v, by hand %v", got, float64(want))
	}
}
