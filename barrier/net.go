package barrier

import (
	"fmt"

	"example.com/stanchion/internal/quantity"
)

// Net is a hole drilled in a tube where fittings grip it, for a set screw or a bolt.
type Net struct {
	Hole  float64 // diameter, m
	Walls int     // walls that it goes through: 1 or 2
}

// netKeys are the keys of net = { ... } in [post] and [[rail]].
func netKeys() []knownKey { return read("hole", "walls", "at") }

// readNet reads what is drilled in a tube; nil for nothing. A hole wider than half the tube is
// refused: what it leaves is no tube whose stresses the formulas of a bent bar give (rule of this
// program).
func (t table) readNet(m *Member, ringOK bool) *Net {
	const example = `net = { hole = "8.5 mm", at = "fittings" }`
	net, ok := t.child("net", netTable)
	if !ok {
		return nil
	}
	if !net.require("hole", `"8.5 mm"`) {
		return nil
	}
	out := &Net{Walls: 2}
	out.Hole, ok = net.positive("hole", quantity.Length)
	if ok && ringOK {
		switch {
		case out.Hole >= m.Ring.OD-2*m.Ring.Wall-slack:
			t.fault(net.at("hole"), fmt.Sprintf("a hole of %s does not fit in a tube of %s outside", t.sizeText(out.Hole), t.sizeText(m.Ring.OD)),
				t.like("write the diameter of the hole, "+example))
			ok = false
		case out.Hole > m.Ring.OD/2+slack:
			t.fault(net.at("hole"), fmt.Sprintf("a hole of %s is wider than half the tube of %s, and no formula of a net section holds there", t.sizeText(out.Hole), t.sizeText(m.Ring.OD)),
				"drill a smaller hole, and have a larger opening checked elsewhere")
			ok = false
		}
	}
	if _, atOK := net.word("at", []string{"fittings"}, nil); !atOK && net.has("at") {
		ok = false
	}
	if net.has("walls") {
		walls, wallsOK := net.number("walls", "2")
		switch {
		case !wallsOK:
			ok = false
		case walls != 1 && walls != 2:
			t.fault(net.at("walls"), fmt.Sprintf("a hole goes through one wall of a tube or both, not %g", walls), "write walls = 1 or walls = 2")
			ok = false
		default:
			out.Walls = int(walls)
		}
	} else if !net.misspelt("walls") {
		t.assumeOnce("A hole at a fitting goes through both walls: net.walls is not given.")
	}
	if !ok || !ringOK {
		return nil
	}
	return out
}
