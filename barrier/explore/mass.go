package explore

import (
	"example.com/stanchion/barrier"
)

// Mass is that of a barrier's posts, rails and fittings, kg.
type Mass struct {
	Posts, Rails, Fittings float64
}

// Total returns the sum, kg.
func (m Mass) Total() float64 { return m.Posts + m.Rails + m.Fittings }

// MassOf weighs a barrier: posts from where they are held to their top, rails in their length
// along the run, by the area of the nominal ring and the density of the grade; and the fittings
// as the definition gives them.
func MassOf(d *barrier.Definition) Mass {
	plain, corner := fittings(d)
	m := Mass{
		Posts:    float64(len(d.Run.Posts)) * postLength(d) * d.Post.MassPerMetre(),
		Fittings: float64(plain)*d.Fitting.Mass + float64(corner)*d.Fitting.Corner.Mass,
	}
	length := railLength(d)
	for i := range d.Rails {
		m.Rails += length * d.Rails[i].MassPerMetre()
	}
	return m
}

// leftAside says what a barrier has that its mass or its cost leaves aside.
func leftAside(d *barrier.Definition, by RankedBy) []string {
	var aside []string
	if d.Infill.Stands() {
		aside = append(aside, "the infill")
	}
	if len(d.Braces) > 0 {
		aside = append(aside, "the braces")
	}
	if d.Run.ToePlate.State == barrier.ToePlateGiven {
		aside = append(aside, "the toe plate")
	}
	aside = append(aside, "splices", "what stands of a post below the level at which it is held")
	if by == ByCost {
		aside = append(aside, "offcuts")
	}
	aside = append(aside, "the mass of feet")
	if d.Fitting.Mass == 0 {
		aside = append(aside, "the mass of fittings, which is not given")
	}
	return aside
}

// Prices are those of the parts of a barrier, in one currency.
type Prices struct {
	Post          float64 // of a metre of the tube of posts
	Rail          float64 // of a metre of the tube of rails
	Fitting, Foot float64 // of one
}

// CostOf prices a barrier, in the currency of the prices: tubes by their length without offcuts,
// every fitting, every foot.
func CostOf(d *barrier.Definition, p Prices) float64 {
	plain, corner := fittings(d)
	return float64(len(d.Run.Posts))*(postLength(d)*p.Post+p.Foot) +
		float64(len(d.Rails))*railLength(d)*p.Rail +
		float64(plain+corner)*p.Fitting
}

// runLength returns the length of the run from its first post or wall to its last, gaps among
// it, m.
func runLength(d *barrier.Definition) float64 {
	supports := d.Supports()
	return supports[len(supports)-1] - supports[0]
}

// postLength returns the length of a post from where it is held to its top, m.
func postLength(d *barrier.Definition) float64 { return d.Post.Height - d.Post.Base.Level }

// railLength returns the length of one rail, overhangs included and gaps not, m.
func railLength(d *barrier.Definition) (length float64) {
	for _, s := range d.Run.Stretches() {
		length += s.To - s.From
	}
	return length
}

// fittings returns how many fittings join rails to posts, and how many of them stand at corners:
// one for each rail at each post that a stretch of rails reaches, but those that a survey misses.
func fittings(d *barrier.Definition) (plain, corner int) {
	stretches := d.Run.Stretches()
	for post := range d.Run.Posts {
		support := d.Run.PostSupport(post)
		for _, s := range stretches {
			if support < s.First || support > s.Last {
				continue
			}
			if d.Run.IsCorner(post) {
				corner += len(d.Rails)
			} else {
				plain += len(d.Rails)
			}
			break
		}
	}
	if d.Survey != nil {
		for _, f := range d.Survey.Fittings {
			switch {
			case f.State != barrier.FittingMissing:
			case d.Run.IsCorner(f.Post):
				corner--
			default:
				plain--
			}
		}
	}
	return plain, corner
}
