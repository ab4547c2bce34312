package solver

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/stanchion/internal/verification"
)

func vibrations(t *testing.T, f *Frame, n int) []Vibration {
	t.Helper()
	model, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	out, err := model.Vibrations(n)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestRodsAndShafts(t *testing.T) {
	// A clamped-free rod, ω = π/2L √(EA/m), and shaft, π/2L √(GJ/mr²): Blevins, Formulas for
	// Natural Frequency and Mode Shape, tables 8-16 and 8-19 (from memory). n linear parts
	// err by (π/2n)²/24 of ω and higher terms.
	record := verification.New(t, verification.Stability)
	for i, m := range []Member{
		{EA: 1, EIy: 1e6, EIz: 1e6, GJ: 1e12, Mass: 4},
		{EA: 1e6, EIy: 2e6, EIz: 3e6, GJ: 1e-3, Mass: 4},
	} {
		name := []string{"rod", "shaft"}[i]
		var f Frame
		m.Start, m.End = f.Node("start", Vec{}), f.Node("end", Vec{0, 1.5, 0})
		m.Reference = Vec{0, 0, 1}
		f.Restrain(m.Start, clamped...)
		f.Member(m)
		want := math.Pi / 3 * math.Sqrt(m.EA/m.Mass)
		freedom := UY
		if name == "shaft" {
			want = math.Pi / 3 * math.Sqrt(m.GJ/(m.Mass*5))
			freedom = RY
		}
		const n = 10
		got := vibrations(t, f.Divide(n).Frame, 1)[0]
		h := math.Pi / 2 / n
		record.From("frequency in ten linear parts, stiffer than the whole", "Blevins, Formulas for Natural Frequency and Mode Shape, tables 8-16 and 8-19 (memory)", verification.Memory).
			Add(name+" clamped at one end: ω, rad/s", want, got.Radian)
		if off := got.Radian/want - 1; !(off > 0 && off < 1.1*h*h/24) {
			t.Errorf("%s: %.9g rad/s, want %.9g to %.1e above", name, got.Radian, want, 1.1*h*h/24)
		}
		if math.Abs(got.Displacement(m.End, freedom)-1) > 1e-9 {
			t.Errorf("%s: its end moves %g in its shape, want 1", name, got.Displacement(m.End, freedom))
		}
		if name == "rod" { // ∫ m sin² = mL/2
			if off := math.Abs(got.Mass/3 - 1); off > 0.01 {
				t.Errorf("mass of the shape %g kg, want 3", got.Mass)
			}
		}
	}
}

func TestReleasedBeamVibrates(t *testing.T) {
	// A beam between clamps, released in bending at both ends, is a pinned one: ω = n²π²√(EI/m)/L²,
	// with springs for releases 22.37 as they stiffen. Blevins, table 8-1 (from memory).
	beam := func(tie Tie) []Vibration {
		c := newColumn(clamped...)
		c.frame.Restrain(c.end, UY, UZ, RX, RY, RZ)
		c.frame.members[0].EIy = 1.7
		c.frame.members[0].Ends = []EndTie{{0, RY, tie}, {0, RZ, tie}, {1, RY, tie}, {1, RZ, tie}}
		return vibrations(t, c.frame.Divide(8).Frame, 3)
	}
	released := verification.New(t, verification.Stability).From("beam between clamps, released by ties, in eight parts", "Blevins, table 8-1 (memory)", verification.Memory)
	pi2 := math.Pi * math.Pi
	for i, want := range []float64{pi2, pi2 * math.Sqrt(1.7), 4 * pi2} {
		// The cubic's error in ω² is (kl)⁴/720 with kl = nπ/8, half of that in ω.
		released.Add(fmt.Sprintf("mode %d: ω, rad/s", i+1), want, beam(Free)[i].Radian)
		if got := beam(Free)[i].Radian; math.Abs(got/want-1) > cubicError(2*math.Pi, 8, 0.5) {
			t.Errorf("released, mode %d: %.9g rad/s, want %.9g", i+1, got, want)
		}
	}
	released.Add("stiff springs: ω, rad/s", 4.730040745*4.730040745, beam(Tie(1e9))[0].Radian)
	if got, want := beam(Tie(1e9))[0].Radian, 4.730040745*4.730040745; math.Abs(got/want-1) > cubicError(4.73, 8, 0.5) {
		t.Errorf("stiff springs: %.9g rad/s, want %.9g", got, want)
	}
}

func TestConsistentMass(t *testing.T) {
	// Clough and Penzien, Dynamics of Structures, equation 10-29 (from memory): mL/420 times 156, 22L,
	// 54, -13L, 4L², -3L²; along it mL/6 times 2 and 1.
	const mass, l = 3.0, 1.7
	e := element{length: l, prism: &prism{mass: mass, ea: 2, eiy: 3, eiz: 5}}
	m := e.consistentMass()
	u := mass * l / 420
	printed := verification.New(t, verification.Stability).From("consistent mass of an element, 3 kg/m, 1.7 m (kg, m)", "Clough and Penzien, Dynamics of Structures, equation 10-29 (memory)", verification.Memory)
	for _, want := range []struct {
		i, j  int
		value float64
	}{
		{1, 1, 156 * u}, {1, 5, 22 * l * u}, {1, 7, 54 * u}, {1, 11, -13 * l * u}, {5, 5, 4 * l * l * u}, {5, 11, -3 * l * l * u},
		{2, 4, -22 * l * u}, {4, 8, -13 * l * u}, {0, 0, mass * l / 3}, {0, 6, mass * l / 6}, {3, 3, mass * l * 4 / 3}, {3, 9, mass * l * 4 / 6},
	} {
		printed.Add(fmt.Sprintf("m[%d][%d]", want.i, want.j), want.value, m[want.i][want.j])
		if got := m[want.i][want.j]; math.Abs(got-want.value) > 1e-14*mass*l*l {
			t.Errorf("m[%d][%d] = %.15g, want %.15g", want.i, want.j, got, want.value)
		}
	}
}

// TestRayleigh holds the frequencies of random frames to their shapes, and tries the least one
// against other movements: none has a smaller quotient.
func TestRayleigh(t *testing.T) {
	for seed := range uint64(12) {
		r := rand.New(rand.NewPCG(seed, 19))
		f := randomFrame(r)
		f.Mass(NodeID(r.IntN(len(f.nodes))), 20)
		model, err := f.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		modes, err := model.Vibrations(6)
		if err != nil {
			t.Fatal(err)
		}
		base := modes[0].model
		p := base.pencil((*Factored).addMasses)
		energy := func(x, y vector) (k, m float64) {
			room := make(vector, base.free)
			p.a.times(y, room)
			k = dot(x, room)
			p.b.times(y, room)
			return k, dot(x, room)
		}
		for i := range modes {
			x := modes[i].u[:base.free]
			k, m := energy(x, x)
			w := modes[i].Radian * modes[i].Radian
			near(t, "Rayleigh quotient", k/m, w, w)
			near(t, "mass of the shape", modes[i].Mass, m, m)
			near(t, "hertz", modes[i].Hertz*2*math.Pi, modes[i].Radian, modes[i].Radian)
			for j := range i {
				y := modes[j].u[:base.free]
				if _, both := energy(x, y); math.Abs(both) > 1e-6*math.Sqrt(m*modes[j].Mass) {
					t.Errorf("seed %d: shapes %d and %d share %.1e of their mass", seed, i, j, both/m)
				}
			}
		}
		for range 20 {
			trial := make(vector, base.free)
			for i := range trial {
				trial[i] = modes[0].u[i] + 0.01*between(r, -1, 1)
			}
			if k, m := energy(trial, trial); k/m < modes[0].Radian*modes[0].Radian {
				t.Errorf("seed %d: a movement with a quotient of %g, below %g", seed, k/m, modes[0].Radian*modes[0].Radian)
			}
		}
	}
}

func TestNoMassNoVibration(t *testing.T) {
	c := newColumn(clamped...)
	c.frame.members[0].Mass = 0
	if modes := vibrations(t, &c.frame, 3); len(modes) != 0 {
		t.Errorf("%d frequencies of a frame without mass", len(modes))
	}
	c.frame.Mass(c.end, 2)
	one := verification.New(t, verification.Stability).From("one mass at the end of a massless member", "√(3EI/ML³), √(EA/ML)", verification.Derived)
	modes := vibrations(t, &c.frame, 9)
	if len(modes) != 3 {
		t.Fatalf("%d frequencies of one mass, want 3", len(modes))
	}
	for i, want := range []float64{math.Sqrt(3.0 / 2), math.Sqrt(3.0 / 2), math.Sqrt(columnEA / 2)} { // √(3EI/ML³), √(EA/ML)
		// Rounding is of 1/ω² of the lowest, a million times the highest's, and of the shift
		// to within 2 % of it.
		one.Add(fmt.Sprintf("mode %d: ω, rad/s", i+1), want, modes[i].Radian)
		if got := modes[i].Radian; math.Abs(got/want-1) > 1e-8 {
			t.Errorf("frequency %d is %.12g rad/s, want %.12g", i+1, got, want)
		}
	}
}
