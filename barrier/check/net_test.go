package check

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

// holed returns what a straight hole of diameter d0 at the top of a ring of radii R and r takes
// from its area, from its second moment about the horizontal axis through the middle, and from
// its first moment there: by strips, with no formula of the sector.
func holed(R, r, d0 float64) (area, second, first float64) {
	const strips = 20000
	for i := range strips {
		x := (float64(i)+0.5)/strips*d0 - d0/2
		top, bottom := math.Sqrt(R*R-x*x), math.Sqrt(r*r-x*x)
		dx := d0 / strips
		area += (top - bottom) * dx
		second += (top*top*top - bottom*bottom*bottom) / 3 * dx
		first += (top*top - bottom*bottom) / 2 * dx
	}
	return area, second, first
}

// The net section of 48.3x3.2 with 8.5 mm through both walls, by hand (derived): β =
// arcsin(4.25/20.95) = 0.20428; R² - r² = 144.32; Anet = 453.4 - 2 × 0.20428 × 144.32 = 394.4
// mm²; R⁴ - r⁴ = 147 514; Inet = 115 857 - 2 × 147 514/4 × (0.20428 + 0.20286 × 0.97921) =
// 115 857 - 29 719 = 86 138; Wnet = 86 138/24.15 = 3567 mm³, of 4797.
func TestNetSectionByHand(t *testing.T) {
	outside := compared(t, verification.Formulas, "net section")
	m := steel(t, 48.3, 3.2, 235)
	n := newNetSection(m, &barrier.Net{Hole: 8.5e-3, Walls: 2})
	outside.near("β", n.beta, 0.20428, 1e-5, "hand, derived")
	outside.near("Anet, mm²", n.Area*1e6, 394.4, 0.1, "hand, derived")
	outside.near("Wnet, mm³", n.Wel*1e9, 3567, 2, "hand, derived")
	if n.Shift != 0 {
		t.Errorf("two holes face to face shift the centroid by %g", n.Shift)
	}
}

// Against strips: never more than the hole leaves, and little less.
func TestNetSectionAgainstStrips(t *testing.T) {
	for _, c := range []struct{ od, wall, hole float64 }{{48.3, 3.2, 8.5}, {48.3, 2, 12}, {60.3, 4, 6.5}, {26.9, 2, 6}} {
		m := steel(t, c.od, c.wall, 235)
		R, r := c.od/2e3, c.od/2e3-c.wall/1e3
		area, second, first := holed(R, r, c.hole/1e3)
		for _, walls := range []int{1, 2} {
			n := newNetSection(m, &barrier.Net{Hole: c.hole / 1e3, Walls: walls})
			left := m.Ring.Area - float64(walls)*area
			shift := 0.0
			if walls == 1 {
				shift = first / left
			}
			I := m.Ring.I - float64(walls)*second - left*shift*shift
			W := I / (R + shift)
			if !(n.Area <= left && n.Area > 0.97*left) || !(n.Wel <= W && n.Wel > 0.95*W) || n.Shift < shift {
				t.Errorf("%gx%g mm, %g mm through %d: A %g of %g mm², W %g of %g mm³, e %g of %g mm (strips, derived)", c.od, c.wall, c.hole, walls, n.Area*1e6, left*1e6, n.Wel*1e9, W*1e9, n.Shift*1e3, shift*1e3)
			}
		}
	}
}

// However the hole is turned to the moment, no fibre has more stress than at the extreme one:
// stresses of the section with two holes under a moment turned by degrees.
func TestHoleAtTheExtremeFibreIsWorst(t *testing.T) {
	m := steel(t, 48.3, 3.2, 235)
	R, r := m.Ring.OD/2, m.Ring.OD/2-m.Ring.Wall
	n := newNetSection(m, &barrier.Net{Hole: 8.5e-3, Walls: 2})
	_, acrossHoles, _ := holed(R, r, 8.5e-3)
	area, _, _ := holed(R, r, 8.5e-3)
	weak := m.Ring.I - 2*acrossHoles
	strong := m.Ring.I - 2*(area*8.5e-3*8.5e-3/12)
	for deg := 0.0; deg <= 90; deg++ {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		for at := 0.0; at < 360; at++ {
			y, x := math.Sincos(at * math.Pi / 180)
			if s := R * (cos*y/weak + sin*x/strong); s > 1/n.Wel {
				t.Fatalf("a moment turned by %g deg: stress %g per moment at %g deg, %g with the hole at the extreme fibre", deg, s, at, 1/n.Wel)
			}
		}
	}
}

// Design stresses of the rules, by hand from the factors of each standard (memory, as the table
// says): the less of yield and rupture.
func TestNetDesignStress(t *testing.T) {
	outside := compared(t, verification.Formulas, "net section, design stress")
	for _, c := range []struct {
		basis          loads.Basis
		material       sections.Material
		fy, fu         float64 // MPa
		yield, rupture float64 // MPa
	}{
		{loads.BasisEN, sections.Steel, 235, 360, 235, 259.2},
		{loads.BasisEN, sections.Steel, 460, 540, 460, 388.8},
		{loads.BasisEN, sections.Stainless, 190, 490, 172.727, 352.8},
		{loads.BasisEN, sections.Aluminium, 250, 290, 227.273, 208.8},
		{loads.BasisLRFD, sections.Steel, 240, 415, 216, 311.25},
		{loads.BasisASD, sections.Steel, 240, 415, 143.713, 207.5},
		{loads.BasisLRFD, sections.Aluminium, 240, 260, 216, 195},
		{loads.BasisASD, sections.Aluminium, 240, 260, 145.455, 133.333},
		{loads.BasisAS, sections.Steel, 250, 320, 225, 244.8},
		{loads.BasisCSA, sections.Steel, 350, 450, 315, 337.5},
		{loads.BasisCSA, sections.Aluminium, 240, 260, 216, 195},
	} {
		m := steel(t, 48.3, 3.2, c.fy)
		m.Grade.Fu = c.fu * 1e6
		n := netCheck{section: newNetSection(m, &barrier.Net{Hole: 8e-3, Walls: 2}), rule: netRuleOf(c.basis, c.material), gamma: recommended}
		yield, rupture, _ := n.stress()
		what := fmt.Sprintf("%s %s", c.basis, c.material)
		outside.near(what+" at yield, MPa", yield/1e6, c.yield, 1e-3, "hand, derived")
		outside.near(what+" at rupture, MPa", rupture/1e6, c.rupture, 1e-3, "hand, derived")
	}
	for _, rule := range netRules() {
		if rule.source == "" || rule.known == "" || rule.clause == "" {
			t.Errorf("%s %s has no clause, source or provenance", rule.basis, rule.material)
		}
	}
}

// A schedule's partial factor counts on yield: 1.1 of EN 13374 in place of 1.00, 1.00 under its
// accidental load, and never less than the 1.1 of stainless steel.
func TestNetPartialFactor(t *testing.T) {
	outside := compared(t, verification.Formulas, "net section, partial factor")
	m := steel(t, 48.3, 3.2, 220)
	m.Grade.Fu = 530e6
	section := newNetSection(m, &barrier.Net{Hole: 8e-3, Walls: 2})
	schedule := partial{1.1, "of the schedule", "EN 13374", "memory"}
	accidental := partial{1, "of the schedule under an accidental action", "EN 13374", "memory"}
	for _, c := range []struct {
		material sections.Material
		by       partial
		want     float64
	}{{sections.Steel, recommended, 220}, {sections.Steel, schedule, 200}, {sections.Steel, accidental, 220}, {sections.Stainless, recommended, 200}, {sections.Stainless, schedule, 200}, {sections.Stainless, accidental, 220}} {
		n := netCheck{section: section, rule: netRuleOf(loads.BasisEN, c.material), gamma: c.by}
		yield, _, _ := n.stress()
		outside.near(fmt.Sprintf("%s by %g, MPa", c.material, c.by.value), yield/1e6, c.want, 1e-9, "hand, derived")
	}
}

// The sum grows with each action and does not jump; a trail gives its verdict.
func TestNetInteraction(t *testing.T) {
	m := steel(t, 48.3, 3.2, 235)
	m.Grade.Fu = 360e6
	for _, walls := range []int{1, 2} {
		tube := mustTube(t, m)
		n := &netCheck{section: newNetSection(m, &barrier.Net{Hole: 8.5e-3, Walls: walls}), rule: netRuleOf(loads.BasisEN, sections.Steel), gamma: recommended, tube: tube, most: math.Inf(1)}
		before := 0.0
		for i := range 1000 {
			k := float64(i) / 1000
			u := n.judge(&analysis.State{N: 90e3 * k, My: 600 * k, Mz: 800 * k}, nil)
			if u < before || u-before > 0.003 {
				t.Fatalf("%d walls: %g after %g", walls, u, before)
			}
			before = u
		}
		r := &Recorder{}
		s := &analysis.State{N: -10e3, Mz: 500}
		u := n.judge(s, r)
		values := map[string]float64{}
		for _, step := range r.Steps {
			values[step.Symbol] = step.Value
		}
		near(t, "sum of the trail", u, math.Abs(s.N)/values["Nnet"]+values["M"]/values["Mnet"], 1e-12, "its own formula")
		near(t, "Wnet of the trail", values["Wnet"], values["Inet"]/(values["R"]+values["e"]), 1e-9*values["Wnet"], "its own formula")
		near(t, "Anet of the trail", values["Anet"], values["A"]-values["w"]*values["β"]*(values["R"]*values["R"]-values["r"]*values["r"]), 1e-9*values["Anet"], "its own formula")
		if a := testing.AllocsPerRun(10, func() { n.judge(s, nil) }); a != 0 {
			t.Errorf("%g allocations in a search", a)
		}
	}
}

// drilled is a scenario with 8.5 mm through both walls of posts and top rail.
func drilled(s scenario) string {
	const net = "net = { hole = \"8.5 mm\", at = \"fittings\", walls = 2 }\n"
	text := strings.Replace(s.toml(), "[post]\n", "[post]\n"+net, 1)
	return strings.Replace(text, "[[rail]]\n", "[[rail]]\n"+net, 1)
}

func checkOf(t *testing.T, r *Result, id, element string) *CheckRow {
	t.Helper()
	for i := range r.Checks {
		if c := &r.Checks[i]; c.ID == id && c.Element == element {
			return c
		}
	}
	t.Fatalf("no %s of %s", id, element)
	return nil
}

// A lone post of S235 under 1.5 × 600 N at 1.1 m: 990 Nm at a foot whose fixing may be drilled,
// over Wnet fy = 3567 mm³ × 235 MPa = 838 Nm: 1.181 and a little axial force. In concrete the
// foot is not drilled: at the knee rail, 0.6 m, 0.5 m below the load: 450/838 = 0.537 (hand,
// derived).
func TestNetOfPosts(t *testing.T) {
	outside := compared(t, verification.Barriers, "net section of posts")
	r, err := Run(parse(t, drilled(lonePosts())), Options{Trails: true})
	if err != nil {
		t.Fatal(err)
	}
	row := checkOf(t, r, "post-net", "post 2")
	outside.near("post-net of post 2", *row.Utilisation, 990/838.2, 0.003, "hand, derived")
	if row.Section != "foot" || row.Status != Fail || row.Provenance != "memory" || r.Status != Fail {
		t.Errorf("section %q, status %s, provenance %s, barrier %s; want foot, fail, memory, fail", row.Section, row.Status, row.Provenance, r.Status)
	}
	if full := checkOf(t, r, "post-bending", "post 2"); *full.Utilisation >= *row.Utilisation {
		t.Errorf("the full section has %g, the net one %g", *full.Utilisation, *row.Utilisation)
	}
	d := parse(t, drilled(lonePosts()))
	d.Post.Base.Kind = barrier.SocketBase
	d.LeaveOut.Base = true
	r, err = Run(d, Options{})
	if err != nil {
		t.Fatal(err)
	}
	row = checkOf(t, r, "post-net", "post 2")
	outside.near("post-net above a foot in concrete", *row.Utilisation, 450/838.2, 0.003, "hand, derived")
	if said := strings.Join(r.Assumptions, "\n"); !strings.Contains(said, "stands in no fitting") {
		t.Error("nothing says that the foot is not drilled")
	}
}

// The moment of a rail is judged over posts, not within bays: a cut rail has none there.
func TestNetOfRails(t *testing.T) {
	s := lonePosts()
	s.top = through
	r, err := Run(parse(t, drilled(s)), Options{})
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for i := range r.Checks {
		c := &r.Checks[i]
		if c.ID != "rail-net" {
			continue
		}
		found = true
		x := strings.TrimSuffix(strings.TrimPrefix(c.Section, "x = "), " m")
		if x != "1.500" && x != "3.000" {
			t.Errorf("%s is judged at %s, where no post stands", c.Element, c.Section)
		}
		if *c.Utilisation <= 0 {
			t.Errorf("%s has %g", c.Element, *c.Utilisation)
		}
	}
	if !found {
		t.Error("a drilled rail has no check of its net section")
	}
	r, err = Run(parse(t, drilled(lonePosts())), Options{})
	if err != nil {
		t.Fatal(err)
	}
	for i := range r.Checks {
		if c := &r.Checks[i]; c.ID == "rail-net" && *c.Utilisation > 1e-9 {
			t.Errorf("a rail that is cut at every post has %g over a post", *c.Utilisation)
		}
	}
}

// A drilled post beyond the bound of second order is judged on the bent frame at the same
// section: the moment of a full post there over that of the net section (EN 1993-1-1 5.2.2,
// memory; the moment against the beam-column formula in TestPostBeyondTheBoundIsABeamColumn).
func TestNetBeyondTheBound(t *testing.T) {
	s := pressedPosts("8 kN", "150 kNm/rad")
	r, err := Run(parse(t, drilled(s)), Options{})
	if err != nil {
		t.Fatal(err)
	}
	full, net := checkOf(t, r, "post-bending", "post 2"), checkOf(t, r, "post-net", "post 2")
	if net.SecondOrder == "" || net.Status == Unchecked || r.open("second order") != nil {
		t.Fatalf("%+v, unchecked %+v", net, r.Unchecked)
	}
	m := steel(t, 48.3, 3.2, 235)
	m.Grade.Fu = 360e6
	n := newNetSection(m, &barrier.Net{Hole: 8.5e-3, Walls: 2})
	bending := full.Demand / (n.Wel * 235e6)
	axial := 1.5 * 8e3 * math.Sin(84*math.Pi/180) / (n.Area * 235e6)
	near(t, "post-net in second order", *net.Utilisation, bending+axial, 0.01*bending, "its own moment on the full section, derived")
}

// Under AISC 360 a drilled guard is judged on 0.90 Fy of its net section, in ASD on Fy/1.67:
// M/(Wnet f) of the moment that bending has, on the design wall (memory).
func TestNetByAISC(t *testing.T) {
	for basis, factor := range map[string]float64{"AISC-LRFD": 0.90, "AISC-ASD": 1 / 1.67} {
		load := "kind = \"point\"\nvalue = \"200 lbf\"\ndirection = \"outward\""
		d := parse(t, guard(basis, "ASTM A53 NPS 1-1/2 STD", "42 in", "12 ft", "4 ft", load))
		d.Post.Net = &barrier.Net{Hole: 5.0 / 16 * inch, Walls: 2}
		r := result(t, d, Options{})
		full, net := checkOf(t, r, "post-bending", "post 2"), checkOf(t, r, "post-net", "post 2")
		n := newNetSection(&d.Post.Member, d.Post.Net)
		near(t, basis+": post-net", *net.Utilisation, full.Demand/(n.Wel*factor*d.Post.Grade.Fy), 0.005**net.Utilisation, "its own moment on the full section, derived")
		if !strings.HasPrefix(net.Clause, "AISC 360-22 D2") {
			t.Errorf("clause %s", net.Clause)
		}
	}
}

// A hole in one wall shifts the centroid, and the axial force bends about it whichever way it acts; the lesser
// of yielding and rupture counts, fy/1.0 and 0.9 fu/1.25 (EN 1993-1-1 6.2.3, memory).
func TestAxialForceOnANetSection(t *testing.T) {
	for fu, f := range map[float64]float64{360: 235e6, 300: 0.9 * 300e6 / 1.25} {
		m := steel(t, 48.3, 3.2, 235)
		m.Grade.Fu = fu * 1e6
		at := newNetSection(m, &barrier.Net{Hole: 0.0085, Walls: 1})
		n := &netCheck{section: at, rule: netRuleOf(loads.BasisEN, sections.Steel), gamma: recommended, tube: mustTube(t, m), most: math.Inf(1)}
		const force, moment = 20e3, 150.0
		want := force/(at.Area*f) + (moment+force*at.Shift)/(at.Wel*f)
		for _, sign := range []float64{-1, 1} {
			near(t, "use of the net section", n.judge(&analysis.State{N: sign * force, My: moment}, nil), want, 1e-9, "statics of the shifted centroid")
		}
		if at.Shift <= 0 {
			t.Errorf("shift %v m of a hole in one wall", at.Shift)
		}
	}
}
