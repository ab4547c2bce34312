package solver

import (
	"errors"
	"math"
	"testing"
)

// publishedUnits are the units of a case, in SI. Values expected stay as printed; what was
// found is turned back.
type publishedUnits struct{ length, force, mass float64 }

// units returns the units of a case. The inch is 0.0254 m and the pound-force 4.4482216152605 N
// by definition (NIST SP 811, appendix B.8, from memory); kip s²/in is the mass that 1 kip
// accelerates by 1 in/s². A "1" is a unit of a dimensionless case and stays.
func (c *publishedCase) units(t *testing.T) publishedUnits {
	look := func(name string, of map[string]float64) float64 {
		v, ok := of[name]
		if !ok {
			t.Fatalf("unit %q", name)
		}
		return v
	}
	return publishedUnits{
		look(c.Units.Length, map[string]float64{"1": 1, "m": 1, "mm": 1e-3, "in": 0.0254}),
		look(c.Units.Force, map[string]float64{"1": 1, "N": 1, "kip": 4448.2216152605}),
		look(c.Units.Mass, map[string]float64{"1": 1, "kg": 1, "t": 1e3, "kip s2/in": 4448.2216152605 / 0.0254}),
	}
}

// toSI turns the case into SI in place.
func (c *publishedCase) toSI(u publishedUnits) {
	l, f, m := u.length, u.force, u.mass
	for i := range c.Nodes {
		c.Nodes[i].XYZ = c.Nodes[i].XYZ.scale(l)
	}
	for i := range c.Members {
		b := &c.Members[i]
		b.E, b.G = b.E*f/(l*l), b.G*f/(l*l)
		b.A, b.Asy, b.Asz = b.A*l*l, b.Asy*l*l, b.Asz*l*l
		b.Iy, b.Iz, b.J0 = b.Iy*l*l*l*l, b.Iz*l*l*l*l, b.J0*l*l*l*l
		b.Rho *= m / (l * l * l)
	}
	for i := range c.Supports {
		for d, k := range c.Supports[i].Spring {
			if publishedFreedoms[d] < RX {
				k *= f / l
			} else {
				k *= f * l
			}
			c.Supports[i].Spring[d] = k
		}
	}
	for i := range c.Masses {
		c.Masses[i].M *= m
	}
	for i := range c.NodeLoads {
		for d := range 6 {
			c.NodeLoads[i].F[d] *= f
			if d >= 3 {
				c.NodeLoads[i].F[d] *= l
			}
		}
	}
	for i := range c.MemberLoads {
		p := &c.MemberLoads[i]
		p.X, p.X1, p.X2 = p.X*l, p.X1*l, p.X2*l
		p.F, p.M, p.Q1, p.Q2 = p.F.scale(f), p.M.scale(f*l), p.Q1.scale(f/l), p.Q2.scale(f/l)
	}
}

// divided returns the case as a frame, its members divided as the case says, with the numbers
// of its nodes and of its members before they were divided.
func (c *publishedCase) divided(t *testing.T) (*Divided, Case, *publishedFrame) {
	f := c.build(t)
	d := &Divided{Frame: f.frame.clone()}
	d.Frame.members = nil
	for id, m := range f.frame.members { // each with a division of its own
		m.Mass = c.Members[id].Rho * c.Members[id].A
		d.cut(m, f.frame.Length(MemberID(id)), max(1, c.Members[id].Div))
	}
	return d, d.Case(f.load), f
}

// plane holds every node of a frame in the plane of global X and Y.
func plane(f *Frame) {
	for n := range f.nodes {
		f.Restrain(NodeID(n), UZ, RX, RY)
	}
}

// unstableInSpace names the published cases that are of a plane column, and in the file are
// free to leave the plane about the weak axis, where their load is beyond the critical one
// of a cantilever, π²EIy/4L². They are proved unstable at that load, then run in the plane.
var unstableInSpace = map[string]bool{"aisc-c2-P100": true, "aisc-c2-P150": true}

func (c *publishedCase) proveUnstable(t *testing.T, model *Factored, load Case) {
	m := c.Members[0]
	length := c.Nodes[1].XYZ.sub(c.Nodes[0].XYZ).norm()
	want := math.Pi * math.Pi * m.E * m.Iy / (4 * length * length) / -c.NodeLoads[0].F[1]
	_, err := model.SecondOrder(load)
	var unstable *InstabilityError
	// Eight cubics over a quarter wave err by less than 1e-6; the level is found to 1e-4.
	if !errors.As(err, &unstable) || math.Abs(unstable.Level/want-1) > 1.1e-4 || unstable.Direction != UZ.String() {
		t.Errorf("in space: %v, want unstable along Z from %.6g of the load on (source: Euler's cantilever about the weak axis)", err, want)
	}
}

// secondOrder returns what second order gives for the expected values of a case, in its units.
func (c *publishedCase) secondOrder(t *testing.T) []float64 {
	u := c.units(t)
	c.toSI(u)
	d, load, f := c.divided(t)
	model, err := d.Frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	if unstableInSpace[c.ID] {
		c.proveUnstable(t, model, load)
		plane(d.Frame)
		if model, err = d.Frame.Factorise(); err != nil {
			t.Fatal(err)
		}
	}
	s, err := model.SecondOrder(load)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("residual %.1e, imbalance %.1e, %d steps, slenderness %.3f", s.Residual, s.Imbalance, s.Steps, s.Slenderness)
	if !(s.Residual < 1e-13) || !(s.Imbalance < s.roundedImbalance()) {
		t.Errorf("residual %.1e, imbalance %.1e, want below 1e-13 and %.1e", s.Residual, s.Imbalance, s.roundedImbalance())
	}
	var out []float64
	for i := range c.Expect {
		q := &c.Expect[i].Q
		freedom := publishedFreedoms[q.Dof]
		got := math.NaN()
		switch q.Type {
		case "disp":
			got = s.Displacement(f.nodes[q.Node], freedom) / u.length
		case "reaction":
			got = 0
			for _, r := range s.Reactions {
				if r.Node == f.nodes[q.Node] && r.Freedom == freedom {
					got += r.Value / (u.force * u.length)
				}
			}
			if freedom < RX {
				got *= u.length
			}
		case "mforce":
			got = d.Diagram(s, f.members[q.Member]).At(publishedForces[q.Comp], q.X*u.length) / (u.force * u.length)
		case "mdisp":
			part, x := d.At(f.members[q.Member], q.X*u.length)
			dia := s.Diagram(part)
			got = model.elements[part].axes.from(Vec{dia.At(MoveX, x), dia.At(MoveY, x), dia.At(MoveZ, x)})[freedom] / u.length
		}
		out = append(out, got)
	}
	return out
}

func (r *SecondOrder) roundedImbalance() float64 {
	s := Solution{model: r.second, u: r.first.u, Reactions: r.Reactions}
	return s.roundedImbalance()
}

// criticalLoads returns the critical load factors that a case expects.
func (c *publishedCase) criticalLoads(t *testing.T) []float64 {
	c.toSI(c.units(t))
	d, load, _ := c.divided(t)
	model, err := d.Frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	var out []float64
	for i := range c.Expect {
		q := &c.Expect[i].Q
		loads, err := model.Critical(load, q.Mode)
		if err != nil || len(loads) != q.Mode || q.Type != "buckling" {
			t.Fatalf("%d critical loads, %v", len(loads), err)
		}
		out = append(out, loads[q.Mode-1].Factor)
	}
	return out
}

// frequencies returns the natural frequencies that a case expects, Hz.
func (c *publishedCase) frequencies(t *testing.T) []float64 {
	c.toSI(c.units(t))
	d, _, f := c.divided(t)
	for _, m := range c.Masses {
		d.Frame.Mass(f.nodes[m.Node], m.M)
	}
	model, err := d.Frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	var out []float64
	for i := range c.Expect {
		q := &c.Expect[i].Q
		modes, err := model.Vibrations(q.Mode)
		if err != nil || len(modes) != q.Mode || q.Type != "freq" {
			t.Fatalf("%d frequencies, %v", len(modes), err)
		}
		out = append(out, modes[q.Mode-1].Hertz)
	}
	return out
}
