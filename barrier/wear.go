package barrier

import (
	"fmt"
	"slices"

	"example.com/stanchion/sections"
)

// Surfaces returns what protects the two sides of a member, and what they lose. Of a surveyed
// barrier it is the coating that the survey found left outside, and none inside, where nobody
// looked. It must not be called without an exposure.
func (d *Definition) Surfaces(m *Member) (outside, inside sections.Surface) {
	e := d.Exposure
	outside, inside = e.Outside, e.Inside
	if d.Survey != nil && !d.Survey.FeetAlone {
		outside.Coating, inside.Coating = 0, 0
		if left := d.Survey.CoatingLeft; left != nil {
			outside.Coating = *left
		}
		return outside, inside
	}
	outside.Coating, inside.Coating = e.coating[0].on(m.Nominal), e.coating[1].on(m.Nominal)
	return outside, inside
}

// worst returns the spot at which most is lost of a member that has some, the first of equals.
func (e *Exposure) worst(spots ...Spot) Spot {
	return slices.MaxFunc(spots, func(a, b Spot) int {
		switch d := e.Times(a) - e.Times(b); {
		case d > 0:
			return 1
		case d < 0:
			return -1
		}
		return 0
	})
}

// Age says of a definition that its walls are those of a year.
type Age struct {
	Year  float64 // since the barrier was built, or surveyed
	Level sections.RateLevel
}

// Wear is what corrosion or a survey has left of a member: Member.Ring is the tube between
// fittings and Local that at the foot and at fittings, where it is thinnest.
type Wear struct {
	New   sections.Ring // as built, on the wall in use
	Local sections.Ring
}

// Weakest returns the member with the section that its strength is judged on: the thinnest that
// it has anywhere.
func (m *Member) Weakest() *Member {
	if m.Wear == nil {
		return m
	}
	weakest := *m
	weakest.Ring = m.Wear.Local
	return &weakest
}

// BuiltOD returns the outside diameter as built, m.
func (m *Member) BuiltOD() float64 { return m.built().OD }

// built returns the ring as built, on the wall in use.
func (m *Member) built() sections.Ring {
	if m.Wear == nil {
		return m.Ring
	}
	return m.Wear.New
}

// GoneError says that corrosion leaves no wall of a member.
type GoneError struct {
	Element string // "posts", "post 3" of a surveyed run, "rail top", "brace 1"
	Where   string // "at the foot", "at fittings", "between fittings"
}

func (e *GoneError) Error() string { return e.Element + ": no wall is left " + e.Where }

// AtYear returns the barrier with the walls that are left at a year, at a level of its rates. The
// definition itself stays as it is; it is one as built, or as surveyed, and of no year. Without an
// exposure it is returned as it is. Members of metals that the method does not cover
// (Uncovered) keep their walls.
//
// Error: *GoneError. It panics on a barrier that is of a year already.
func (d *Definition) AtYear(year float64, level sections.RateLevel) (*Definition, error) {
	switch {
	case d.Exposure == nil:
		return d, nil
	case d.Age != nil:
		panic("barrier: a barrier of one year is no start for another")
	}
	aged := *d
	aged.Age = &Age{year, level}
	aged.Rails, aged.Braces = slices.Clone(d.Rails), slices.Clone(d.Braces)
	aged.PostMembers = slices.Clone(d.PostMembers)
	for element, m := range aged.members() {
		if err := d.wear(m, element, year, level); err != nil {
			return nil, err
		}
	}
	return &aged, nil
}

// wear puts what is left of a member at a year in its place.
func (d *Definition) wear(m *Member, element part, year float64, level sections.RateLevel) error {
	if m.Grade.Material != sections.Steel {
		return nil
	}
	outside, inside := d.Surfaces(m)
	within := inside.Loss(year, level, 1)
	worn := func(r sections.Ring, at Spot) (sections.Ring, error) {
		r, err := r.Worn(outside.Loss(year, level, d.Exposure.Times(at)), within)
		if err != nil {
			return r, &GoneError{element.name, at.String()}
		}
		return r, nil
	}
	start, local := d.startOf(m)
	left := Wear{New: m.built()}
	var err error
	if left.Local, err = worn(local, d.Exposure.worst(element.spots...)); err != nil {
		return err
	}
	if m.Ring, err = worn(start, BetweenFittings); err != nil {
		return err
	}
	m.Wear = &left
	return nil
}

// startOf returns the rings that corrosion begins with: between fittings, and at the thinnest.
func (d *Definition) startOf(m *Member) (between, local sections.Ring) {
	switch {
	case m.Wear != nil: // as surveyed
		return m.Ring, m.Wear.Local
	case d.Exposure.WallBasis != sections.MinimumWall:
		return m.Ring, m.Ring
	}
	least, err := leastRing(m)
	if err != nil {
		panic("barrier: " + err.Error()) // judged when the exposure was read
	}
	return least, least
}

// leastRing returns the ring on the least wall that the product standard lets through. It is taken
// off the nominal wall, whatever the wall in use is: that one may be the least already, or the 0.90 of
// CSA S16, which is as much.
func leastRing(m *Member) (sections.Ring, error) {
	least, err := m.Tube.WallOn(sections.MinimumWall)
	if err != nil {
		return sections.Ring{}, fmt.Errorf("the least wall of %s: %w", m.Name, err)
	}
	return sections.NewRing(m.Ring.OD, least)
}

// part is a member of a barrier as corrosion sees it.
type part struct {
	name  string // "posts", "post 3", "rail top", "brace 1"
	spots []Spot // that it has
}

// members calls for every tube of the definition, each of which may be changed.
func (d *Definition) members() func(yield func(part, *Member) bool) {
	standing := []Spot{BetweenFittings, AtFitting, AtFoot}
	return func(yield func(part, *Member) bool) {
		if !yield(part{"posts", standing}, &d.Post.Member) {
			return
		}
		for i := range d.PostMembers {
			if !yield(part{fmt.Sprintf("post %d", i+1), standing}, &d.PostMembers[i]) {
				return
			}
		}
		for i := range d.Rails {
			if !yield(part{"rail " + d.Rails[i].Name, standing[:2]}, &d.Rails[i].Member) {
				return
			}
		}
		for i := range d.Braces {
			if !yield(part{fmt.Sprintf("brace %d", i+1), standing}, &d.Braces[i].Member) {
				return
			}
		}
	}
}

// UncoveredMember is a member whose corrosion the method does not cover.
type UncoveredMember struct {
	Element  string // "posts", "rail top"
	Material sections.Material
}

// Uncovered returns the members of metals that are attacked by pitting, which is no even loss of
// wall: aluminium and stainless steel. Their walls stay as they are, and a check lists them as
// unchecked. It is empty without an exposure.
func (d *Definition) Uncovered() []UncoveredMember {
	if d.Exposure == nil {
		return nil
	}
	var out []UncoveredMember
	for element, m := range d.members() {
		if m.Grade.Material != sections.Steel {
			out = append(out, UncoveredMember{element.name, m.Grade.Material})
		}
	}
	return out
}
