package check

import (
	"math"
	"slices"

	"example.com/stanchion/barrier"
)

// ShapeBase is the foot that is drawn, seen from the side: that of the bolts that are told, or of the
// post with the largest base moment. Lengths in m count from the axis of the post, outward
// positive, and up from where the post is held; 0 for what is not given.
type ShapeBase struct {
	Post    int         `json:"post"`
	Kind    string      `json:"kind"` // flange, socket, earth, side, counterweight; empty: not told
	Level   float64     `json:"level_m"`
	Actions *BaseAction `json:"actions,omitempty"` // of the post on the foot, all at once
	Out     float64     `json:"out_N"`             // of these the force outward
	Tip     float64     `json:"tip_Nm"`            // and the moment that tips it outward

	Flange        *ShapeFlange        `json:"flange,omitempty"`
	Embedded      *ShapeEmbedded      `json:"embedded,omitempty"` // of socket and earth
	Bracket       *ShapeBracket       `json:"bracket,omitempty"`
	Counterweight *ShapeCounterweight `json:"counterweight,omitempty"`
}

// ShapeFlange is a flange on bolts.
type ShapeFlange struct {
	Round     bool         `json:"round"`
	Out       float64      `json:"out_m"` // of the whole plate: outward, or its diameter
	Along     float64      `json:"along_m"`
	Thickness float64      `json:"thickness_m"`
	Circle    float64      `json:"circle_m"` // diameter of the bolt circle
	Bolts     [][2]float64 `json:"bolts_m"`  // outward and along; none where no bearing is given
}

// ShapeEmbedded is a post in concrete or in the ground.
type ShapeEmbedded struct {
	Depth    float64 `json:"depth_m"` // of the post below where it is held, or of its footing below the ground
	Width    float64 `json:"width_m"` // of the footing; of a post in concrete on which it bears
	Cover    float64 `json:"cover_m"`
	Ground   float64 `json:"ground_m"`   // z of the surface that it stands in
	Concrete float64 `json:"concrete_m"` // of earth: depth of the post in the concrete of its footing
	Bare     bool    `json:"bare"`       // the post stands in the ground itself
}

// ShapeBracket is a bracket on a face beside the post.
type ShapeBracket struct {
	Face    float64   `json:"face_m"`    // outward of the post's axis
	Rows    []float64 `json:"rows_m"`    // up
	Columns []float64 `json:"columns_m"` // along
	Bottom  float64   `json:"bottom_m"`  // from the lower row to the lower edge of the plate
	Top     float64   `json:"top_m"`
	Width   float64   `json:"width_m"`
}

// ShapeCounterweight is a weighted foot.
type ShapeCounterweight struct {
	Outward float64       `json:"outward_m"` // to the edges about which it tips
	Inward  float64       `json:"inward_m"`
	Slope   float64       `json:"slope_deg"` // by which the surface falls outward
	Weights []ShapeWeight `json:"weights"`
}

// ShapeWeight is a counterweight, its middle.
type ShapeWeight struct {
	Mass    float64 `json:"mass_kg"`
	Outward float64 `json:"outward_m"`
	Height  float64 `json:"height_m"`
}

// shapeBase fills the foot that is drawn.
func (c *run) shapeBase() *ShapeBase {
	b := &c.d.Post.Base
	s := &ShapeBase{Post: largestPost(c.worst.posts, baseMoment) + 1, Kind: string(b.Kind), Level: b.Level}
	if len(c.out.Bolts) > 0 {
		s.Post = c.out.Bolts[0].Post
	}
	if i := c.footRow(s.Post); i >= 0 {
		row := c.out.BaseActions[i]
		outward := c.d.Run.Hazard.Outward()
		s.Actions, s.Out, s.Tip = &row, outward*row.Fy, -outward*row.Mx
	}
	switch b.Kind {
	case barrier.FlangeBase:
		s.Flange = shapeFlange(b.Flange)
	case barrier.SocketBase:
		s.Embedded = &ShapeEmbedded{Depth: b.Concrete.Depth, Width: b.Concrete.Width, Ground: b.Level, Cover: given(b.Concrete.Cover)}
	case barrier.EarthBase:
		s.Embedded = &ShapeEmbedded{Depth: b.Earth.Depth, Width: b.Earth.Width, Ground: b.Earth.Ground, Bare: b.Earth.Bare}
		if b.Earth.Concrete != nil {
			s.Embedded.Concrete, s.Embedded.Cover = b.Earth.Concrete.Depth, given(b.Earth.Concrete.Cover)
		}
	case barrier.SideBase:
		s.Bracket = shapeBracket(b.Bracket)
	case barrier.CounterweightBase:
		w := b.Counterweight
		s.Counterweight = &ShapeCounterweight{Outward: w.Outward, Inward: w.Inward, Slope: w.Slope * 180 / math.Pi}
		for _, one := range w.Weights {
			s.Counterweight.Weights = append(s.Counterweight.Weights, ShapeWeight{one.Mass, one.Outward, one.Height})
		}
	}
	return s
}

// footRow is the row of the base actions that is drawn: that under the load of the bolts that are
// told, or the largest moment at the level of design. It is -1 where there is none.
func (c *run) footRow(post int) int {
	rows := c.out.BaseActions
	if len(c.out.Bolts) > 0 {
		load := c.out.Bolts[0].Load
		if i := slices.IndexFunc(rows, func(b BaseAction) bool { return b.Post == post && b.Combination+": "+b.Load == load }); i >= 0 {
			return i
		}
	}
	return slices.IndexFunc(rows, func(b BaseAction) bool { return b.Post == post && b.ExtremeOf == "M" && b.Level == "design" })
}

func given(v *float64) float64 {
	if v == nil {
		return 0
	}
	return *v
}

func shapeFlange(f *barrier.Flange) *ShapeFlange {
	s := &ShapeFlange{Round: f.Size == [2]float64{}, Out: f.Size[0], Along: f.Size[1], Thickness: f.Thickness, Circle: f.Circle}
	if s.Round {
		s.Out, s.Along = f.Diameter, f.Diameter
	}
	for _, b := range f.Bolts {
		if !f.AnyBearing {
			s.Bolts = append(s.Bolts, [2]float64{b.Outward, b.Along})
		}
	}
	return s
}

func shapeBracket(b *barrier.Bracket) *ShapeBracket {
	s := &ShapeBracket{Face: -b.Eccentricity, Rows: []float64{-b.Below, -b.Below - b.Spacing}, Bottom: b.Bottom, Top: b.Top, Width: b.Width}
	if b.Outward {
		s.Face = b.Eccentricity
	}
	for i := range b.Columns {
		s.Columns = append(s.Columns, b.Column(i))
	}
	return s
}
