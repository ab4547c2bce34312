package barrier_test

import (
	"errors"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/solver"
)

// FuzzDefinition reads anything. There is no panic; a problem lies in the file and its
// excerpt is the line; a definition that is read is whole: posts ascend, every section
// is real, every splice is on its rail.
func FuzzDefinition(f *testing.F) {
	for _, pattern := range []string{"testdata/*.toml", "testdata/bad/*.toml", "../testdata/pump-terrace.toml"} {
		files, err := filepath.Glob(pattern)
		if err != nil {
			f.Fatal(err)
		}
		for _, file := range files {
			f.Add([]byte(readFile(f, file)))
		}
	}
	f.Add([]byte("title = \"the file ends behind a backslash: \\"))
	f.Fuzz(func(t *testing.T, data []byte) {
		d, err := barrier.Parse("fuzz.toml", data)
		if err != nil {
			judgeProblems(t, data, err)
			return
		}
		judgeDefinition(t, d)
	})
}

// judge is what tells of a fault: a test, or a property that is tried.
type judge interface {
	Fatal(args ...any)
	Fatalf(format string, args ...any)
}

func judgeProblems(t judge, data []byte, err error) {
	problems, ok := errors.AsType[barrier.Problems](err)
	if !ok || len(problems) == 0 {
		t.Fatalf("%v is not a list of problems", err)
	}
	lines := strings.Split(strings.TrimPrefix(string(data), "\ufeff"), "\n")
	before := barrier.Position{}
	for _, p := range problems {
		pos := p.Pos
		if pos.Line < before.Line || pos.Line == before.Line && pos.Col < before.Col {
			t.Fatalf("%v is told after %v", pos, before)
		}
		before = pos
		if p.What == "" {
			t.Fatalf("the problem at %v says nothing", pos)
		}
		if pos.Line == 0 {
			continue
		}
		if pos.Line > len(lines) || pos.Col < 1 || pos.Col > len([]rune(lines[pos.Line-1]))+1 {
			t.Fatalf("%v is not in the file: %v", pos, p)
		}
	}
	if text := err.Error(); strings.ContainsAny(text, "\x1b\x00\r") {
		t.Fatalf("the message holds control characters: %q", text)
	}
}

func judgeDefinition(t judge, d *barrier.Definition) {
	supports := d.Supports()
	if len(d.Run.Posts) < 1 || len(supports) < 2 || len(d.Rails) == 0 || len(d.Loads) == 0 {
		t.Fatalf("%d posts, %d supports, %d rails, %d loads", len(d.Run.Posts), len(supports), len(d.Rails), len(d.Loads))
	}
	for i := 1; i < len(supports); i++ {
		if !(supports[i]-supports[i-1] >= d.Post.Ring.OD/2-1e-9) || math.IsInf(supports[i], 0) {
			t.Fatalf("posts or walls at %v and %v", supports[i-1], supports[i])
		}
	}
	judgeRun(t, d)
	members := []barrier.Member{d.Post.Member}
	for i, rail := range d.Rails {
		members = append(members, rail.Member)
		if !(rail.Height > d.Post.Base.Level) || rail.Height > d.Post.Height+1e-9 {
			t.Fatalf("rail %d at %v on a post from %v to %v", i, rail.Height, d.Post.Base.Level, d.Post.Height)
		}
		for _, stretch := range d.Run.Stretches() {
			ends := []float64{}
			for _, x := range rail.Splices {
				if x > stretch.From && x < stretch.To {
					ends = append(ends, x)
				}
			}
			if !rail.Through {
				ends = slices.Clone(supports[stretch.First+1 : stretch.Last])
			}
			from := stretch.From
			for _, to := range append(ends, stretch.To) {
				if !(to > from) || rail.SpliceState == "given" && len(rail.Splices) > 0 && to-from > rail.Stock+1e-3 {
					t.Fatalf("rail %d has a piece from %v to %v", i, from, to)
				}
				from = to
			}
		}
		for _, x := range rail.Splices {
			if d.Run.StretchOf(x) < 0 {
				t.Fatalf("rail %d has a splice at %v, where it is not", i, x)
			}
		}
	}
	for i, brace := range d.Braces {
		members = append(members, brace.Member)
		if lean := brace.Reach() / brace.Length(); brace.Post < 0 || brace.Post >= len(d.Run.Posts) || brace.Height > d.Post.Height+1e-9 || !(brace.Rise() > 0) || !(lean > 0.25 && lean < 0.97) {
			t.Fatalf("brace %d is %+v", i, brace)
		}
	}
	for _, m := range members {
		if !(m.Ring.I > 0) || !(m.Grade.Fy > 0) || !(m.Grade.E > 0) || !(m.Grade.G > 0) || !(m.Grade.Density > 0) || m.Name == "" {
			t.Fatalf("member %+v", m)
		}
	}
	if math.Abs(d.Fitting.Offset) > 0.5 || !(d.Fitting.Mass >= 0) || !(d.RuleHeight() > 0) {
		t.Fatalf("fitting %+v, h = %v", d.Fitting, d.RuleHeight())
	}
	if len(d.Run.Posts) <= 20 && isOrdinary(d) {
		judgeFrame(t, d)
	}
	for _, load := range d.Loads {
		if (load.Schedule == nil) == (load.Own == nil) || load.Name == "" || !(load.Fixing >= 1 && load.Fixing <= 2) {
			t.Fatalf("load %+v", load)
		}
		if load.Own != nil {
			judgeOwnLoad(t, d, load.Own)
		}
	}
	judgeJoined(t, d)
	judgeInfill(t, d)
}

// judgeOwnLoad asks that a load of the user's own says all that its kind needs, within bounds.
func judgeOwnLoad(t judge, d *barrier.Definition, own *barrier.OwnLoad) {
	whole := false
	switch own.Kind {
	case barrier.OwnLine, barrier.OwnPoint:
		whole = own.Value > 0 && own.Rail >= 0 && own.Rail < len(d.Rails)
	case barrier.OwnArea:
		whole = own.Value > 0 && d.Infill.Stands() && own.Direction.Word != ""
	case barrier.OwnWind:
		w := own.Wind
		whole = own.Direction.Word != "" && (w.Pressure > 0) != (w.Velocity > 0) && (w.Velocity == 0 || (w.Terrain == "") != (w.Exposure == "")) && w.Ground >= 0
	case barrier.OwnIce:
		whole = (own.Ice.Thickness > 0) != (own.Ice.Class != "")
	case barrier.OwnTemperature:
		whole = own.Temperature.Rise >= 0 && own.Temperature.Fall >= 0 && own.Temperature.Rise+own.Temperature.Fall > 0
	}
	if own.At != nil {
		whole = whole && own.Kind == barrier.OwnPoint && d.Run.StretchOf(*own.At) >= 0
	}
	if own.Height != nil {
		whole = whole && *own.Height <= barrier.MostHeight*d.Post.Height+1e-9 && *own.Height >= d.Post.Base.Level-1e-9
	}
	if !whole {
		t.Fatalf("own load %+v, wind %+v, ice %+v, temperature %+v", own, own.Wind, own.Ice, own.Temperature)
	}
}

// judgeJoined asks that loads act together both ways, ascending, no load with itself, and that
// no more are placed at once than can be.
func judgeJoined(t judge, d *barrier.Definition) {
	for i, load := range d.Loads {
		for k, j := range load.With {
			if j == i || !slices.Contains(d.Loads[j].With, i) || k > 0 && load.With[k-1] >= j {
				t.Fatalf("load %d acts with %v, load %d with %v", i, load.With, j, d.Loads[j].With)
			}
			for _, l := range load.With[k+1:] {
				if isSought(&d.Loads[i]) && isSought(&d.Loads[j]) && isSought(&d.Loads[l]) && slices.Contains(d.Loads[j].With, l) {
					t.Fatalf("loads %d, %d and %d are placed at once", i, j, l)
				}
			}
		}
	}
	for _, own := range d.Combine.Own {
		placed := 0
		for load, factor := range own.Factors {
			if isSought(&d.Loads[load]) {
				placed++
			}
			if !(factor > 0) {
				t.Fatalf("combination %+v", own)
			}
		}
		if placed > barrier.MaxPlaced || len(own.Factors) == 0 || own.Name == "" || own.Permanent[1] > own.Permanent[0] {
			t.Fatalf("combination %+v", own)
		}
	}
}

// isSought reports whether a load is put where it is worst: of those that are placed all but a point of the
// user's own that stands at one place and does not turn.
func isSought(l *barrier.Load) bool {
	stands := l.Own != nil && l.Own.Kind == barrier.OwnPoint && l.Own.At != nil && l.Own.Direction.Word != "horizontal" && l.Own.Direction.Word != "any"
	return l.IsPlaced() && !stands
}

// judgeInfill asks that an infill stands on what carries it.
func judgeInfill(t judge, d *barrier.Definition) {
	in := &d.Infill
	if !in.Stands() {
		return
	}
	byRails := in.Carrier == barrier.CarriedByRails
	if !(in.Top > in.Bottom) || !(in.Mass >= 0) || !(in.Solidity > 0 && in.Solidity <= 1) || byRails != (len(in.Rails) > 1) {
		t.Fatalf("infill %+v", in)
	}
	for k, rail := range in.Rails {
		if k > 0 && !(d.Rails[rail].Height > d.Rails[in.Rails[k-1]].Height) {
			t.Fatalf("infill %+v on rails %+v", in, d.Rails)
		}
	}
}

// judgeRun asks that legs follow one another from the start of the run to its end, a post at
// each corner, and that each gap lies between two posts that follow one another, rails beyond.
func judgeRun(t judge, d *barrier.Definition) {
	supports := d.Supports()
	first, last := supports[0], supports[len(supports)-1]
	for i, leg := range d.Run.Legs {
		if i == 0 && leg.From != first || i > 0 && (leg.From != d.Run.Legs[i-1].To || !slices.Contains(d.Run.Posts, leg.From)) || !(leg.To > leg.From) {
			t.Fatalf("legs %v on supports at %v", d.Run.Legs, supports)
		}
		if i == len(d.Run.Legs)-1 && leg.To != last || math.Abs(leg.Pitch) > 1.05 || math.Abs(leg.Turn) > 2.62 {
			t.Fatalf("legs %v on supports at %v", d.Run.Legs, supports)
		}
	}
	for i, gap := range d.Run.Gaps {
		from, to := slices.Index(d.Run.Posts, gap.From), slices.Index(d.Run.Posts, gap.To)
		if from < 0 || to != from+1 || gap.From == first || gap.To == last || i > 0 && !(gap.From > d.Run.Gaps[i-1].To) {
			t.Fatalf("gaps %v on posts at %v", d.Run.Gaps, d.Run.Posts)
		}
	}
}

// isOrdinary says whether the lengths of the barrier are such that somebody could build it:
// beyond them the numbers of the frame lie too far apart for a mechanism to be told from
// rounding.
func isOrdinary(d *barrier.Definition) bool {
	supports := d.Supports()
	for i := 1; i < len(supports); i++ {
		if bay := supports[i] - supports[i-1]; bay < 0.1 || bay > 20 {
			return false
		}
	}
	for i, rail := range d.Rails {
		if above := rail.Height - d.Post.Base.Level; above < 0.1 || above > 10 || rail.Ring.OD < 0.01 || rail.Ring.OD > 0.5 || rail.Ring.Wall < 1e-3 {
			return false
		}
		for _, other := range d.Rails[:i] {
			if math.Abs(rail.Height-other.Height) < 0.05 {
				return false
			}
		}
		for _, x := range rail.Splices {
			bay := d.BayOf(x)
			if x-supports[bay] < 0.02 || supports[bay+1]-x < 0.02 {
				return false
			}
		}
	}
	for _, brace := range d.Braces {
		if brace.Length() < 0.1 || brace.Length() > 20 || brace.Ring.OD < 0.01 || brace.Ring.OD > 0.5 || brace.Ring.Wall < 1e-3 {
			return false
		}
	}
	return d.Post.Height < 10 && d.Run.Overhang[0]+d.Run.Overhang[1] < 10 && d.Post.Ring.OD > 0.01 && d.Post.Ring.OD < 0.5 && d.Post.Ring.Wall > 1e-3
}

// judgeFrame builds the frame that the definition stands for, on feet of some stiffness. It
// may be too soft or too stiff to be solved, but it is never a mechanism.
func judgeFrame(t judge, d *barrier.Definition) {
	l := barrier.Layout{FootStiffness: 100e3, Joint: d.Fitting.Moment, Corner: d.Fitting.Corner.Moment}
	for _, rail := range d.Rails {
		l.Rails = append(l.Rails, barrier.Joints{Splices: rail.Splices, Moment: rail.SpliceMoment, Cut: !rail.Through})
	}
	_, err := d.Frame(l).Factorise()
	if mechanism, ok := errors.AsType[*solver.MechanismError](err); ok {
		t.Fatal(mechanism)
	}
}
