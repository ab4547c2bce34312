package analysis_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/loads"
	"example.com/stanchion/solver"
)

// withLoads appends own loads to a definition.
func withLoads(own ...barrier.Load) func(*barrier.Definition) {
	return func(d *barrier.Definition) { d.Loads = append(d.Loads, own...) }
}

// gusty is a wind of a given velocity pressure, N/m².
func gusty(q float64, direction string) barrier.Load {
	return barrier.Load{Name: "wind", Own: &barrier.OwnLoad{Kind: barrier.OwnWind, Direction: barrier.Direction{Word: direction}, Wind: &loads.Wind{Route: loads.WindPressureGiven, Pressure: q}}}
}

func glazed(class string) barrier.Load {
	return barrier.Load{Name: "ice", Own: &barrier.OwnLoad{Kind: barrier.OwnIce, Ice: &loads.Ice{Class: class}}}
}

func seasonal(rise, fall float64) barrier.Load {
	return barrier.Load{Name: "season", Own: &barrier.OwnLoad{Kind: barrier.OwnTemperature, Temperature: &barrier.Warmth{Rise: rise, Fall: fall}}}
}

// fieldsOf returns the fields of a definition, and its frame as it is given.
func fieldsOf(t *testing.T, d *barrier.Definition) (fields []*analysis.Action, r *analysis.Replayer) {
	t.Helper()
	actions, _ := analysis.Actions(d)
	for _, a := range actions {
		if a.Field != nil {
			fields = append(fields, a)
		}
	}
	r, err := analysis.NewReplayer(d, layout(d), nil)
	if err != nil {
		t.Fatal(err)
	}
	return fields, r
}

// solve solves a case on the frame of a replayer.
func solve(t *testing.T, r *analysis.Replayer, c solver.Case) *solver.Solution {
	t.Helper()
	model, err := r.Frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	if err := model.Check(&c); err != nil {
		t.Fatal(err)
	}
	return model.Solve(c)
}

// groundOf returns the sum of the forces with which the ground holds a frame, global axes.
func groundOf(s *solver.Solution) (sum solver.Vec) {
	for _, q := range s.Reactions {
		if q.Freedom <= solver.UZ {
			sum[q.Freedom] += q.Value
		}
	}
	return sum
}

// force returns the sum of the forces of a case, global axes.
func force(c *solver.Case) (sum solver.Vec) {
	add := func(f float64, v solver.Vec) {
		for k := range sum {
			sum[k] += f * v[k]
		}
	}
	for _, n := range c.Nodes {
		add(1, n.Force)
	}
	for _, p := range c.Points {
		add(1, p.Force)
	}
	for _, l := range c.Lines {
		add((l.To-l.From)/2, l.Start)
		add((l.To-l.From)/2, l.End)
	}
	return sum
}

// carriedBy tells who carries an infill, if there is one.
func carriedBy(c barrier.InfillCarrier) string {
	if c == "" {
		return "tubes alone"
	}
	return "sheet carried by " + string(c)
}

// agrees fails unless got is within tol of want: comparisons that stay out of the record.
func agrees(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g", what, got, want)
	}
}

// rigidTwoRails is a run of two rails, at 1.0 and 0.5 m, on rigid feet at the surface.
func rigidTwoRails(posts []float64, change ...func(*barrier.Definition)) plan {
	return plan{posts: posts, foot: math.Inf(1), rails: []railPlan{{name: "top", height: 1.0}, {name: "low", height: 0.5}},
		loads: []string{own("line", "0.36 kN/m", "top", "outward")},
		change: func(d *barrier.Definition) {
			for _, f := range change {
				f(d)
			}
		}}
}

// The whole wind is pressure times coefficient times projected area: 1.2 on round tubes (EN
// 1991-1-4 Figure 7.28 at low Reynolds numbers).
func TestWindOnTubes(t *testing.T) {
	hand := verification.New(t, verification.Weather).From("whole wind on tubes", "area by hand, 1.2 on round tubes (EN 1991-1-4 Figure 7.28)", verification.Derived)
	const q = 500.0
	p := rigidTwoRails(evenly(4, 1.5), withLoads(gusty(q, "horizontal")))
	d := p.definition(t)
	fields, r := fieldsOf(t, d)
	senses := fields[0].Field.Senses
	if len(senses) != 4 {
		t.Fatalf("%d senses", len(senses))
	}
	od := d.Post.Ring.OD
	across, along := 1.2*q*od*(2*4.5+4*1.0), 1.2*q*od*4*1.0
	for i, want := range []solver.Vec{{0, across, 0}, {0, -across, 0}, {along, 0, 0}, {-along, 0, 0}} {
		c := senses[i].On(r)
		sum := force(&c)
		for k := range sum {
			if want[k] == 0 {
				agrees(t, senses[i].Words(quantity.Metric), sum[k], 0, 1e-9)
				continue
			}
			hand.Within(1e-9, fmt.Sprintf("%s, along %c: N", senses[i].Words(quantity.Metric), "XYZ"[k]), want[k], sum[k])
		}
		ground := groundOf(solve(t, r, c))
		for k := range ground {
			agrees(t, "reaction to "+senses[i].Words(quantity.Metric), ground[k], -want[k], 1e-6)
		}
	}
}

// A post with its rails on soft ground acts as a lone cantilever where rails have no stiffness:
// its base moment is q cf od h²/2 and what comes from half of the bays beside it.
func TestWindOnLonePost(t *testing.T) {
	hand := verification.New(t, verification.Weather).From("post in the wind", "statics, 1.2 q D on tubes", verification.Derived)
	const q = 800.0
	p := rigidTwoRails(evenly(3, 2), withLoads(gusty(q, "outward")), func(d *barrier.Definition) {
		for i := range d.Rails {
			stiffen(&d.Rails[i].Member, 1e-6)
		}
	})
	p.rails[0].cut, p.rails[1].cut = true, true
	d := p.definition(t)
	fields, r := fieldsOf(t, d)
	s := solve(t, r, fields[0].Field.Senses[0].On(r))
	w := 1.2 * q * d.Post.Ring.OD // N/m
	middle := s.Diagram(r.Frame.Posts[1].Members[0]).At(solver.MomentZ, 0)
	hand.Within(1e-3, "base moment, Nm", w*1.0*1.0/2+w*2*(1.0+0.5), math.Abs(middle))
}

// The pressures of a sheet add up to those of its zones, and reach the rails and posts by simple
// lever.
func TestWindOnSheet(t *testing.T) {
	hand := verification.New(t, verification.Weather).From("wind on a sheet of 6 m", "zones by hand, EN 1991-1-4 Table 7.9 (memory)", verification.Memory)
	const q = 600.0
	sheet := func(carrier barrier.InfillCarrier) func(*barrier.Definition) {
		return func(d *barrier.Definition) {
			d.Infill = barrier.Infill{Kind: barrier.SheetInfill, Mass: 10, Solidity: 1, Bottom: 0.5, Top: 1.0, Carrier: carrier}
			if carrier == barrier.CarriedByRails {
				d.Infill.Rails = []int{1, 0}
			}
		}
	}
	// l/h = 6/0.5, so the row of l/h >= 10: 3.4, 2.1, 1.7, 1.2 (EN 1991-1-4 Table 7.9, memory);
	// zones end at 0.15, 1.0 and 2.0 m from either end of 6 m.
	panel := q * 0.5 * 2 * (3.4*0.15 + 2.1*0.85 + 1.7*1.0 + 1.2*1.0)
	for _, carrier := range []barrier.InfillCarrier{barrier.CarriedByRails, barrier.CarriedByPosts} {
		p := rigidTwoRails(evenly(4, 2), sheet(carrier), withLoads(gusty(q, "across")))
		d := p.definition(t)
		fields, r := fieldsOf(t, d)
		c := fields[0].Field.Senses[0].On(r)
		tubes := 1.2 * q * d.Post.Ring.OD * (2*6 + 4*1.0)
		hand.Within(1e-9, "force, N, carried by "+string(carrier), tubes+panel, force(&c)[1])
		// The moment of all about the foot line: the panel's middle is at 0.75 m.
		turned := 0.0
		for _, l := range c.Lines {
			start, end := r.Frame.Ends(l.Member)
			size := (l.To - l.From) * l.Start[1]
			length := r.Frame.Length(l.Member)
			turned += size * (start[2] + (end[2]-start[2])*(l.From+l.To)/2/length)
		}
		w := 1.2 * q * d.Post.Ring.OD
		hand.Within(1e-9, "moment, Nm, carried by "+string(carrier), w*6*1.5+w*4*0.5+panel*0.75, turned)
	}
}

// Published: 0.68 kPa times 1.2 on a panel 1.0 m high is 0.41 kN/m at the rail on its top edge,
// half of its height (public balustrade calculation sheet).
func TestPanelWindAtTopRail(t *testing.T) {
	hand := verification.New(t, verification.Weather).From("wind on a panel at its top rail", "public balustrade calculation sheet: 0.68 kPa times 1.2 on a panel 1.0 m high", verification.Public)
	p := rigidTwoRails(evenly(11, 2), withLoads(gusty(680, "outward")), func(d *barrier.Definition) {
		d.Rails[0].Height, d.Rails[1].Height, d.Post.Height = 1.2, 0.2, 1.2
		d.Infill = barrier.Infill{Kind: barrier.MeshInfill, Solidity: 0.8, Bottom: 0.2, Top: 1.2, Carrier: barrier.CarriedByRails, Rails: []int{1, 0}}
	})
	d := p.definition(t)
	fields, r := fieldsOf(t, d)
	c := fields[0].Field.Senses[0].On(r)
	tube := 1.2 * 680 * d.Rails[0].Ring.OD
	for i, m := range r.Frame.Rails[0].Members {
		sum := 0.0
		for _, l := range c.Lines {
			if l.Member == m.ID {
				sum += l.Start[1] * (l.To - l.From) / (m.To - m.From)
			}
		}
		hand.Within(0.005, fmt.Sprintf("line load on the top rail in bay %d, kN/m", i+1), 0.41, (sum-tube)/1000)
	}
}

// Infill that stands out beyond its rails is levered over them: forces and moments stay whole.
func TestWindBeyondRails(t *testing.T) {
	hand := verification.New(t, verification.Weather).From("wind on infill beyond its rails", "area by hand, 2.0 on flat-sided members", verification.Derived)
	const q = 400.0
	p := rigidTwoRails(evenly(3, 1.5), withLoads(gusty(q, "inward")), func(d *barrier.Definition) {
		d.Infill = barrier.Infill{Kind: barrier.MeshInfill, Solidity: 0.3, Bottom: 0.1, Top: 1.2, Carrier: barrier.CarriedByRails, Rails: []int{1, 0}, Offset: 0.04}
	})
	d := p.definition(t)
	fields, r := fieldsOf(t, d)
	c := fields[0].Field.Senses[0].On(r)
	w, panel := 1.2*q*d.Post.Ring.OD, 2.0*0.3*q*1.1*3 // flat-sided members: 2.0 on the solid area
	hand.Within(1e-9, "force, N", -(w*(2*3+3) + panel), force(&c)[1])
	turned := 0.0
	for _, l := range c.Lines {
		start, end := r.Frame.Ends(l.Member)
		turned += (l.To - l.From) * l.Start[1] * (start[2] + end[2]) / 2
	}
	hand.Within(1e-9, "moment, Nm", -(w*3*1.5 + w*3*0.5 + panel*0.65), turned)
}

// A toe plate goes to the posts; it stands out below feet that are above it too.
func TestWindOnToePlate(t *testing.T) {
	hand := verification.New(t, verification.Weather).From("wind on a toe plate", "area by hand, 2.0 on the plate", verification.Derived)
	const q = 500.0
	for _, level := range []float64{0, 0.05} {
		p := rigidTwoRails(evenly(3, 2), withLoads(gusty(q, "outward")), func(d *barrier.Definition) {
			d.Run.ToePlate = barrier.ToePlate{State: barrier.ToePlateGiven, Height: 0.12, Gap: 0.01}
		})
		p.level = level
		d := p.definition(t)
		fields, r := fieldsOf(t, d)
		c := fields[0].Field.Senses[0].On(r)
		w, plate := 1.2*q*d.Post.Ring.OD, 2.0*q*0.12*4
		hand.Within(1e-9, fmt.Sprintf("force, feet at %g m: N", level), w*(2*4+3*(1-level))+plate, force(&c)[1])
	}
}

// Braces feel the wind by what they show of themselves: across the run nothing of their way out.
func TestWindOnBrace(t *testing.T) {
	hand := verification.New(t, verification.Weather).From("wind on a brace", "area that it shows, by hand, 1.2 on round tubes", verification.Derived)
	const q = 500.0
	brace := func(d *barrier.Definition) {
		d.Braces = []barrier.Brace{{Member: d.Post.Member, Post: 1, Height: 0.5, Outward: -0.5}}
	}
	p := rigidTwoRails(evenly(3, 1.5), brace, withLoads(gusty(q, "horizontal")))
	d := p.definition(t)
	fields, r := fieldsOf(t, d)
	w := 1.2 * q * d.Post.Ring.OD
	across, along := fields[0].Field.Senses[0].On(r), fields[0].Field.Senses[2].On(r)
	hand.Within(1e-9, "across, N", w*(2*3+3*1.0+0.5), force(&across)[1])
	hand.Within(1e-9, "along, N", w*(3*1.0+0.5*math.Sqrt2), force(&along)[0])
}

// The pressure is that at the top of the barrier above the ground.
func TestWindHeight(t *testing.T) {
	w := loads.Wind{Route: loads.WindEN, Velocity: 26, Terrain: "III", Ground: 8}
	p := rigidTwoRails(evenly(3, 1.5), withLoads(barrier.Load{Name: "wind", Own: &barrier.OwnLoad{Kind: barrier.OwnWind, Direction: barrier.Direction{Word: "outward"}, Wind: &w}}))
	d := p.definition(t)
	fields, r := fieldsOf(t, d)
	qp := w.At(d.TopOfRail()).Pressure
	c := fields[0].Field.Senses[0].On(r)
	agrees(t, "force", force(&c)[1], 1.2*qp*d.Post.Ring.OD*(2*3+3), 1e-9)
	if !strings.Contains(fields[0].Field.Senses[0].Words(quantity.Metric), "kN/m2") || fields[0].Provenance != "memory" {
		t.Errorf("%q, %s", fields[0].Field.Senses[0].Words(quantity.Metric), fields[0].Provenance)
	}
}

// Ice weighs on every tube and on the infill: mass times standard gravity.
func TestIceWeight(t *testing.T) {
	hand := verification.New(t, verification.Weather).From("ice on tubes and on a sheet", "mass by hand times 9.80665 m/s²", verification.Derived)
	ice := loads.Ice{Class: "G2"}
	coat := ice.Coat()
	const g = 9.80665
	for _, carrier := range []barrier.InfillCarrier{"", barrier.CarriedByRails, barrier.CarriedByPosts} {
		p := rigidTwoRails(evenly(4, 1.5), withLoads(glazed("G2")), func(d *barrier.Definition) {
			if carrier == "" {
				return
			}
			d.Infill = barrier.Infill{Kind: barrier.SheetInfill, Solidity: 1, Bottom: 0.4, Top: 1.0, Carrier: carrier, Offset: 0.03}
			if carrier == barrier.CarriedByRails {
				d.Infill.Rails = []int{1, 0}
			}
		})
		d := p.definition(t)
		fields, r := fieldsOf(t, d)
		m, _ := coat.Mass(d.Post.Ring.OD)
		want := m * g * (2*4.5 + 4*1.0)
		if carrier != "" {
			want += 2 * 0.020 * 900 * g * 4.5 * 0.6
		}
		c := fields[0].Field.Senses[0].On(r)
		sum := force(&c)
		hand.Within(1e-9, "weight, N, "+carriedBy(carrier), -want, sum[2])
		agrees(t, "level force, "+string(carrier), sum[1], 0, 1e-9)
		if carrier == "" {
			continue
		}
		// The offset turns the whole about the line of the feet by weight times offset.
		turned := 0.0
		for _, n := range c.Nodes {
			turned += n.Moment[0] - r.Frame.Position(n.Node)[2]*n.Force[1]
		}
		hand.Within(1e-9, "couple of the offset, Nm, "+carriedBy(carrier), -2*0.020*900*g*4.5*0.6*0.03, turned)
	}
}

// Wind that acts with ice blows with its part k on tubes as wide as their ice.
func TestWindOnIcedBarrier(t *testing.T) {
	hand := verification.New(t, verification.Weather).From("wind on a barrier under ice G3", "0.50 (ISO 12494 Table 12, memory) times 1.2 q on tubes wider by 60 mm", verification.Memory)
	const q = 500.0
	w, ice := gusty(q, "outward"), glazed("G3")
	w.With, ice.With = []int{2}, []int{1}
	p := rigidTwoRails(evenly(4, 1.5), withLoads(w, ice))
	d := p.definition(t)
	fields, r := fieldsOf(t, d)
	if len(fields) != 3 {
		t.Fatalf("%d fields, want the wind, the wind on ice and the ice", len(fields))
	}
	bare, iced, frost := fields[0], fields[1], fields[2]
	c := iced.Field.Senses[0].On(r)
	hand.Within(1e-9, "force, N", 0.50*1.2*q*(d.Post.Ring.OD+0.06)*(2*4.5+4), force(&c)[1])
	for _, s := range iced.Steps {
		if strings.HasPrefix(s.What, "force on a metre of tube") {
			hand.Within(1e-9, "p on the iced width, N/m²", 0.50*1.2*q, s.Values[0].Value)
			hand.Within(1e-12, "D, m", d.Post.Ring.OD+0.06, s.Values[1].Value)
		}
	}
	_, notes := analysis.Actions(d)
	said(t, notes, "wind acts together with ice on the iced barrier: on 0.50 of its velocity pressure, on tubes that are wider by 60 mm")
	if words := iced.Field.Senses[0].Words(quantity.Metric); words != "wind outward on the iced barrier, 0.50 of velocity pressure 0.500 kN/m2" {
		t.Errorf("words %q", words)
	}
	people := &analysis.Action{Category: loads.Imposed}
	for _, row := range []struct {
		what string
		set  []*analysis.Action
		want bool
	}{
		{"wind alone", []*analysis.Action{bare}, true},
		{"wind on ice alone", []*analysis.Action{iced}, false},
		{"ice alone", []*analysis.Action{frost}, true},
		{"wind and ice", []*analysis.Action{bare, frost}, false},
		{"wind on ice and ice", []*analysis.Action{iced, frost}, true},
		{"people and wind", []*analysis.Action{people, bare}, true},
		{"people, wind on ice and ice", []*analysis.Action{people, iced, frost}, true},
		{"people and wind on ice", []*analysis.Action{people, iced}, false},
	} {
		if got := analysis.Suit(row.set); got != row.want {
			t.Errorf("%s: %v, want %v", row.what, got, row.want)
		}
	}
}

// A rail held along between two walls pushes with EA αT ΔT; posts that hold it add nothing to
// it where the rail meets them at rest.
func TestWarmthBetweenWalls(t *testing.T) {
	hand := verification.New(t, verification.Weather).From("rail between two walls", "-EA αT ΔT, α 12e-6", verification.Derived)
	p := oneRail(evenly(5, 1.5), 1.0, math.Inf(1), own("line", "0.36 kN/m", "top", "outward"))
	p.change = func(d *barrier.Definition) {
		d.Run.Start = barrier.End{Wall: true, X: 0, AlongHeld: true}
		d.Run.End = barrier.End{Wall: true, X: 6, AlongHeld: true}
		d.Run.Posts = []float64{1.5, 3, 4.5}
		withLoads(seasonal(30, 45))(d)
	}
	d := p.definition(t)
	fields, r := fieldsOf(t, d)
	EA := d.Rails[0].Grade.E * d.Rails[0].Ring.Area
	for i, dT := range []float64{30, -45} {
		s := solve(t, r, fields[0].Field.Senses[i].On(r))
		for k, m := range r.Frame.Rails[0].Members {
			hand.Within(1e-3, fmt.Sprintf("%s, in bay %d: N", fields[0].Field.Senses[i].Words(quantity.Metric), k+1), -EA*12e-6*dT, s.Diagram(m.ID).At(solver.Axial, 0))
		}
	}
	if gaps := analysis.Gaps(d); len(gaps) != 0 {
		t.Errorf("gaps where walls hold the rail: %+v", gaps)
	}
}

// A run of two posts with free ends: the rail lengthens by αT ΔT L less what the posts hold
// back. Each is a cantilever of 3EI/h³ at the rail, so N = αT ΔT / (1/EA + 2 h³/(3 E I L)).
func TestWarmthOnFreeRun(t *testing.T) {
	hand := verification.New(t, verification.Weather).From("rail on two posts, 35 K", "αT ΔT / (1/EA + 2h³/3EIL)", verification.Derived)
	for _, stiff := range []float64{1, 1e3} {
		const L, h, dT = 6.0, 1.0, 35.0
		p := oneRail([]float64{0, L}, h, math.Inf(1), own("line", "0.36 kN/m", "top", "outward"))
		p.change = func(d *barrier.Definition) {
			d.Post.Grade.E *= stiff
			withLoads(seasonal(dT, 0))(d)
		}
		d := p.definition(t)
		fields, r := fieldsOf(t, d)
		if len(fields[0].Field.Senses) != 1 {
			t.Fatalf("%d senses", len(fields[0].Field.Senses))
		}
		s := solve(t, r, fields[0].Field.Senses[0].On(r))
		rail := &d.Rails[0]
		EA := rail.Grade.E * rail.Ring.Area
		want := -12e-6 * dT / (1/EA + 2*h*h*h/(3*ei(&d.Post.Member)*L))
		hand.Within(1e-6*math.Abs(want), fmt.Sprintf("axial force, posts of %g times their E: N", stiff), want, s.Diagram(r.Frame.Rails[0].Members[0].ID).At(solver.Axial, 1))
	}
}

// The way that ends and splices need is the expansion of the rail that meets there.
func TestGaps(t *testing.T) {
	hand := verification.New(t, verification.Weather).From("way at ends and splices of rails", "αT ΔT L, α 12e-6", verification.Derived)
	p := rigidTwoRails(evenly(7, 1.5), withLoads(seasonal(35, 45)))
	p.rails[0].splices, p.rails[1].cut = []float64{3.2, 6.2}, true
	d := p.definition(t)
	d.Run.End = barrier.End{Wall: true, X: 9}
	d.Run.Posts = d.Run.Posts[:6]
	want := []struct {
		rail      int
		where     string
		x, length float64
	}{
		{0, "free end", 0, 3.2}, {0, "splice", 3.2, 6.2}, {0, "splice", 6.2, 5.8}, {0, "wall end", 9, 2.8},
		{1, "free end", 0, 1.5}, {1, "cut at a post", 1.5, 3}, {1, "cut at a post", 3, 3}, {1, "cut at a post", 4.5, 3},
		{1, "cut at a post", 6, 3}, {1, "cut at a post", 7.5, 3}, {1, "wall end", 9, 1.5},
	}
	gaps := analysis.Gaps(d)
	if len(gaps) != len(want) {
		t.Fatalf("%d gaps, want %d: %+v", len(gaps), len(want), gaps)
	}
	for i, w := range want {
		g := gaps[i]
		if g.Rail != w.rail || g.Where != w.where || g.Load != 1 {
			t.Errorf("gap %d: %+v, want %+v", i, g, w)
		}
		agrees(t, "x", g.X, w.x, 1e-9)
		hand.Within(1e-12, fmt.Sprintf("rail %d, %s at x = %g m: closes, m", w.rail+1, w.where, w.x), 12e-6*35*w.length, g.Closes)
		hand.Within(1e-12, fmt.Sprintf("rail %d, %s at x = %g m: opens, m", w.rail+1, w.where, w.x), 12e-6*45*w.length, g.Opens)
	}
}

// A velocity pressure of a schedule stands on everything, with the coefficients of EN 1991-1-4.
func TestScheduleWind(t *testing.T) {
	hand := verification.New(t, verification.Weather).From("wind of a schedule", "area by hand, 1.2 on round tubes", verification.Derived)
	s := loads.Schedule{Name: "EN 13374 A", Standard: "EN 13374", Family: loads.EN, Actions: []loads.Action{{
		Name: "wind", Kind: loads.WindPressure, Value: 600, Direction: "across", Target: loads.Everything, Symbol: "W", FirstYield: 1,
		Citation: loads.Citation{Standard: "EN 13374", Clause: "6.3.5", Source: "from memory", Provenance: "memory"},
	}}}
	p := rigidTwoRails(evenly(3, 1.5), withLoads(barrier.Load{Name: "EN 13374 A", Schedule: &s}))
	d := p.definition(t)
	fields, r := fieldsOf(t, d)
	c := fields[0].Field.Senses[1].On(r)
	hand.Within(1e-9, "inward, N", -1.2*600*d.Post.Ring.OD*(2*3+3), force(&c)[1])
	_, notes := analysis.Actions(d)
	told := false
	for _, n := range notes {
		told = told || strings.Contains(n.In(quantity.Metric), "coefficients of EN 1991-1-4")
	}
	if !told {
		t.Error("nothing says whose force coefficients are used")
	}
}

// On a run that turns by a right angle every leg is pressed square to itself, and the corner
// shelters a sheet as a return corner does: 2.1, 1.8, 1.4, 1.2 from it against 3.4, 2.1, 1.7, 1.2
// from the free end (EN 1991-1-4 Table 7.9, memory).
func TestWindOnCorner(t *testing.T) {
	hand := verification.New(t, verification.Weather).From("wind on a run with a corner", "zones by hand, EN 1991-1-4 Table 7.9 (memory)", verification.Memory)
	const q = 600.0
	p := bent(rigidTwoRails(evenly(7, 1.5), withLoads(gusty(q, "outward")), func(d *barrier.Definition) {
		d.Infill = barrier.Infill{Kind: barrier.SheetInfill, Solidity: 1, Bottom: 0.5, Top: 1.0, Carrier: barrier.CarriedByRails, Rails: []int{1, 0}}
	}), []int{4}, []float64{right}, []float64{0, 0})
	d := p.definition(t)
	d.Infill.Top = 1.0
	fields, r := fieldsOf(t, d)
	c := fields[0].Field.Senses[0].On(r)
	w := 1.2 * q * d.Post.Ring.OD
	// Zones end at 0.15, 1.0 and 2.0 m; legs of 6 m and 3 m. On the short one the zones of both
	// ends meet: 2.0 m from one end is 1.0 m from the other.
	first := q * 0.5 * ((3.4*0.15 + 2.1*0.85 + 1.7*1.0) + 1.2*2.0 + (2.1*0.15 + 1.8*0.85 + 1.4*1.0))
	// The short leg: l/h = 6, so its free end has the row between 5 and 10.
	A, B, C := 2.9+0.5/5, 1.8+0.3/5, 1.4+0.3/5
	second := q * 0.5 * ((2.1*0.15 + 1.8*0.85) + C*1.0 + (B*0.85 + A*0.15))
	sum := force(&c)
	hand.Within(1e-9, "on the first leg, N", w*(2*6+5*1.0)+first, sum[1])
	hand.Within(1e-9, "on the second leg, N", -(w*(2*3+2*1.0) + second), sum[0])
}

// A gap has no wind but on its posts, and both its sides are free ends.
func TestWindBesideGap(t *testing.T) {
	hand := verification.New(t, verification.Weather).From("wind on a run with a gap", "zones by hand, EN 1991-1-4 Table 7.9 (memory)", verification.Memory)
	const q = 500.0
	sheet := func(d *barrier.Definition) {
		d.Infill = barrier.Infill{Kind: barrier.SheetInfill, Solidity: 1, Bottom: 0.5, Top: 1.0, Carrier: barrier.CarriedByPosts}
	}
	p := bent(rigidTwoRails(evenly(6, 1), withLoads(gusty(q, "outward")), sheet), nil, nil, []float64{0}, 2)
	d := p.definition(t)
	fields, r := fieldsOf(t, d)
	c := fields[0].Field.Senses[0].On(r)
	w := 1.2 * q * d.Post.Ring.OD
	// Two walls of 2 m, 0.5 m high, l/h = 4: 2.6, 1.6 up to the middle from both ends.
	panel := q * 0.5 * 2 * 2 * (2.6*0.15 + 1.6*0.85)
	hand.Within(1e-9, "force, N", w*(2*4+6)+panel, force(&c)[1])
}

// On a slope a rail shows to a wind along the run only what it climbs, and infill its plumb
// height times its level length to one across.
func TestWindOnSlope(t *testing.T) {
	hand := verification.New(t, verification.Weather).From("wind on a slope", "area by hand", verification.Derived)
	const q = 500.0
	pitch := right / 3
	p := bent(rigidTwoRails(evenly(4, 1.5), withLoads(gusty(q, "horizontal")), func(d *barrier.Definition) {
		d.Infill = barrier.Infill{Kind: barrier.MeshInfill, Solidity: 0.3, Bottom: 0.5, Top: 1.0, Carrier: barrier.CarriedByRails, Rails: []int{1, 0}}
	}), nil, nil, []float64{pitch})
	d := p.definition(t)
	fields, r := fieldsOf(t, d)
	w := 1.2 * q * d.Post.Ring.OD
	across, along := fields[0].Field.Senses[1].On(r), fields[0].Field.Senses[2].On(r)
	hand.Within(1e-9, "inward, N", -(w*(2*4.5+4) + 2.0*0.3*q*0.5*4.5*math.Cos(pitch)), force(&across)[1])
	hand.Within(1e-9, "along, N", w*(2*4.5*math.Sin(pitch)+4), force(&along)[0])
	agrees(t, "up", force(&along)[2], 0, 1e-12)
}

// By ASCE 7-16 the solidity of the barrier picks the force coefficients: some 0.13 here, so 1.3
// for round members (Table 29.4-2, public permit calculation), times G = 0.85.
func TestWindByASCE(t *testing.T) {
	w := loads.Wind{Route: loads.WindASCE, Velocity: 60, Exposure: "C", Ground: 6}
	p := rigidTwoRails(evenly(4, 1.5), withLoads(barrier.Load{Name: "wind", Own: &barrier.OwnLoad{Kind: barrier.OwnWind, Direction: barrier.Direction{Word: "outward"}, Wind: &w}}))
	d := p.definition(t)
	fields, r := fieldsOf(t, d)
	if s := d.Solidity(0, 0); !(s >= 0.1 && s < 0.3) {
		t.Fatalf("solidity %g", s)
	}
	c := fields[0].Field.Senses[0].On(r)
	agrees(t, "force", force(&c)[1], w.At(d.TopOfRail()).Pressure*0.85*1.3*d.Post.Ring.OD*(2*4.5+4), 1e-9)
}

// Outward is to the right where the hazard is, and an overhang has no infill: tubes alone.
func TestWindWithHazardOnTheRight(t *testing.T) {
	hand := verification.New(t, verification.Weather).From("wind outward to the right", "area by hand", verification.Derived)
	const q = 500.0
	p := rigidTwoRails(evenly(3, 1.5), withLoads(gusty(q, "outward"), glazed("G1")), func(d *barrier.Definition) {
		d.Run.Hazard, d.Run.Overhang = barrier.Right, [2]float64{0, 0.3}
		d.Infill = barrier.Infill{Kind: barrier.MeshInfill, Solidity: 0.3, Bottom: 0.5, Top: 1.0, Carrier: barrier.CarriedByRails, Rails: []int{1, 0}, Offset: 0.05}
	})
	d := p.definition(t)
	fields, r := fieldsOf(t, d)
	c := fields[0].Field.Senses[0].On(r)
	w := 1.2 * q * d.Post.Ring.OD
	hand.Within(1e-9, "outward, N", -(w*(2*3.3+3) + 2.0*0.3*q*0.5*3.0), force(&c)[1])
	// The ice leans outward at the top rail.
	ice := fields[1].Field.Senses[0].On(r)
	for _, n := range ice.Nodes {
		if z := r.Frame.Position(n.Node)[2]; (n.Force[1] < 0) != (z == 1.0) {
			t.Errorf("at z = %g m the ice leans by %g N", z, n.Force[1])
		}
	}
	if len(ice.Nodes) == 0 {
		t.Error("the ice leans on nothing")
	}
}
