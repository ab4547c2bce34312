package barrier

import (
	"math"

	"example.com/stanchion/solver"
)

// Leg is a part of the run that is straight in plan and on one slope.
type Leg struct {
	From, To float64 // x of its ends, m: along the run, measured along its rails
	Turn     float64 // rad, at its start from the leg before, anticlockwise seen from above; 0 for the first
	Pitch    float64 // rad, of the walking surface (on stairs the pitch line): positive where it rises from start to end
}

// legs returns the legs of the run, the first and the last without an end of their own: an
// overhang runs on in its leg.
func (r *Run) legs() []Leg {
	if len(r.Legs) == 0 {
		return []Leg{{From: math.Inf(-1), To: math.Inf(1)}}
	}
	return r.Legs
}

// LegOf returns the leg, from 0, in which x (m) lies. A corner belongs to the leg that ends
// there.
func (r *Run) LegOf(x float64) int {
	legs := r.legs()
	for i := range legs[:len(legs)-1] {
		if x <= legs[i].To+slack {
			return i
		}
	}
	return len(legs) - 1
}

// IsCorner reports whether a post, from 0, stands where one leg ends and another begins.
func (r *Run) IsCorner(post int) bool {
	legs := r.legs()
	for _, leg := range legs[1:] {
		if math.Abs(r.Posts[post]-leg.From) < slack {
			return true
		}
	}
	return false
}

// TurnsAt reports whether a post, from 0, stands where the run turns in plan.
func (r *Run) TurnsAt(post int) bool {
	leg := r.LegOf(r.Posts[post])
	return r.IsCorner(post) && r.Axes(leg) != r.Axes(leg+1)
}

// PitchAt returns the pitch of the leg in which x (m) lies, rad.
func (r *Run) PitchAt(x float64) float64 { return r.legs()[r.LegOf(x)].Pitch }

// IsStraight reports whether the run is one level leg.
func (r *Run) IsStraight() bool { return len(r.Legs) == 0 || len(r.Legs) == 1 && r.Legs[0].Pitch == 0 }

// Slopes reports whether some leg of the run climbs or falls, and whether every leg does.
func (r *Run) Slopes() (some, all bool) {
	all = true
	for _, leg := range r.legs() {
		some = some || leg.Pitch != 0
		all = all && leg.Pitch != 0
	}
	return some, all
}

// Axes returns the axes of a leg, from 0: along the run in plan, to the left, and up.
func (r *Run) Axes(leg int) solver.Axes {
	turned := 0.0
	for _, l := range r.legs()[:leg+1] {
		turned += l.Turn
	}
	sin, cos := sinCos(turned)
	return solver.Axes{{cos, sin, 0}, {-sin, cos, 0}, {0, 0, 1}}
}

// sinCos returns sine and cosine, exact at right angles.
func sinCos(angle float64) (sin, cos float64) {
	if q := math.Round(angle / (math.Pi / 2)); math.Abs(angle-q*math.Pi/2) < 1e-12 {
		switch int(q-4*math.Floor(q/4)) % 4 {
		case 0:
			return 0, 1
		case 1:
			return 1, 0
		case 2:
			return 0, -1
		default:
			return -1, 0
		}
	}
	return math.Sincos(angle)
}

// RailAxes returns the axes of the rails of a leg, from 0: along the rail from start to end,
// to the left, and square to both, upwards.
func (r *Run) RailAxes(leg int) solver.Axes {
	a := r.Axes(leg)
	sin, cos := sinCos(r.legs()[leg].Pitch)
	along, left := a[0], a[1]
	return solver.Axes{
		{cos * along[0], cos * along[1], sin},
		left,
		{-sin * along[0], -sin * along[1], cos},
	}
}

// At returns the point at x along a leg, m, that far to the left of the run's line and
// that high above the walking surface, plumb. The run starts at the origin of X where x is 0.
func (r *Run) At(leg int, x, left, height float64) solver.Vec {
	legs := r.legs()
	at, from := solver.Vec{}, 0.0
	if len(r.Legs) > 0 {
		from = legs[0].From
		at[0] = from
	}
	move := func(along solver.Vec, by float64) {
		for k := range at {
			at[k] += by * along[k]
		}
	}
	for i := range leg {
		move(r.RailAxes(i)[0], legs[i].To-from)
		from = legs[i].To
	}
	move(r.RailAxes(leg)[0], x-from)
	move(r.Axes(leg)[1], left)
	at[2] += height
	return at
}
