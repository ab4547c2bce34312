package barrier

import (
	"fmt"

	"example.com/stanchion/internal/quantity"
)

// Bracket is a bracket on a vertical face beside the post, on two rows of bolts one above the
// other.
type Bracket struct {
	Anchors
	Outward       bool    // the face is on the outward side of the post; else the post stands outside the face
	Eccentricity  float64 // from the face to the axis of the post, m
	Below         float64 // of the upper row below Base.Level, m
	Spacing       float64 // of the two rows, m
	Columns       int     // bolts in each row
	ColumnSpacing float64 // along the run between the bolts of a row, m; 0 for one column
	Bottom, Top   float64 // from the lower row to the lower edge of the plate, and from the upper row to the upper one, m; 0 where not given
	Width         float64 // of the plate along the run, m; 0 where not given
	EdgeBearing   bool    // the plate bears at its edges
	Prying        float64 // factor on the tension of the bolts; 1 for none
}

// sideKeys are the keys of [post.base.side].
func sideKeys() []knownKey {
	return append(read("face", "eccentricity", "below", "spacing", "columns", "column_spacing", "bottom", "top", "plate_width", "bearing", "prying"), read(anchorKeys()...)...)
}

// readBracket reads [post.base.side] of a post.
func (t table) readBracket(p *postDraft) *Bracket {
	before := len(t.problems)
	b := &Bracket{Anchors: t.readAnchors(), Columns: 1, Prying: 1}
	face, faceGiven := t.word("face", []string{"inward", "outward"}, nil)
	b.Outward = face == "outward"
	if t.require("eccentricity", `"60 mm"`) {
		b.Eccentricity, _ = t.positive("eccentricity", quantity.Length)
	}
	if t.require("spacing", `"120 mm"`) {
		b.Spacing, _ = t.positive("spacing", quantity.Length)
	}
	if below, ok := t.quantity("below", quantity.Length); ok {
		if b.Below = below; below < 0 {
			t.fault(t.at("below"), "the upper row stands above where the post is held", "raise post.base.level to the upper row or above it, and write below from there")
		}
	}
	b.Bottom, _ = t.positive("bottom", quantity.Length)
	b.Top, _ = t.positive("top", quantity.Length)
	b.Width, _ = t.positive("plate_width", quantity.Length)
	t.readColumns(b)
	t.readEdges(b)
	if factor, ok := t.number("prying", "1.2"); ok {
		if b.Prying = factor; !(factor >= 1 && factor <= 5) {
			t.fault(t.at("prying"), "a factor from 1 to 5 is wanted", "write prying = 1.2, the factor on the tension of the bolts")
		}
	}
	if len(t.problems) > before {
		return b
	}
	t.checkBracket(b, p)
	t.sayBracket(b, faceGiven)
	return b
}

// readColumns reads how many bolts stand in a row.
func (t table) readColumns(b *Bracket) {
	const most = 4
	if n, ok := t.number("columns", "2"); ok {
		if n != 1 && n != 2 && n != 3 && n != most {
			t.fault(t.at("columns"), "columns = "+plain(n)+" is no number of bolts in a row", fmt.Sprintf("write a whole number from 1 to %d", most))
			return
		}
		b.Columns = int(n)
	}
	switch {
	case b.Columns > 1 && t.require("column_spacing", `"80 mm"`):
		b.ColumnSpacing, _ = t.positive("column_spacing", quantity.Length)
	case b.Columns > 1:
	case t.has("column_spacing"):
		t.faultOfKey(t.at("column_spacing"), "one column of bolts has no spacing", "leave it out, or add columns = 2")
	default:
		t.require("plate_width", `"100 mm"`) // its half is the lever that twist about the post has
	}
}

// readEdges reads where the plate bears.
func (t table) readEdges(b *Bracket) {
	word, ok := t.word("bearing", []string{"bolts", "edge"}, nil)
	b.EdgeBearing = ok && word == "edge"
	if b.EdgeBearing && (t.absent("bottom") || t.absent("top")) {
		t.fault(t.at("bearing"), "the plate is to bear at its edges, and nothing says where they are", "add bottom and top, from the lower row to the lower edge and from the upper row to the upper one")
	}
}

// checkBracket compares the bolts with one another and with the plate.
func (t table) checkBracket(b *Bracket, p *postDraft) {
	var bolts places
	for row := range 2 {
		for i := range b.Columns {
			bolts = append(bolts, [2]float64{float64(row) * b.Spacing, b.Column(i)})
		}
	}
	key := "spacing"
	if b.Columns > 1 && b.ColumnSpacing < b.Spacing {
		key = "column_spacing"
	}
	t.checkOverlap(key, bolts, b.Bolt)
	hole := 0.0
	if b.Bolt != nil {
		hole = b.Bolt.Hole
	}
	for _, edge := range []struct {
		key      string
		distance float64
	}{{"bottom", b.Bottom}, {"top", b.Top}, {"plate_width", b.Width/2 - b.Column(b.Columns-1)}} {
		if t.has(edge.key) && edge.distance < hole/2+slack {
			t.fault(t.at(edge.key), "bolts stand outside the plate or in its edge", "write a larger plate: the holes must lie within it")
		}
	}
	if p.ringOK && b.Eccentricity < p.Ring.OD/2-slack {
		t.fault(t.at("eccentricity"), fmt.Sprintf("the face lies within the tube, %s outside", t.sizeText(p.Ring.OD)), "write the distance from the face to the axis of the post, half the tube's diameter at least")
	}
}

// Column returns how far along the run from the axis of the post a column stands, m.
func (b *Bracket) Column(i int) float64 {
	return (float64(i) - float64(b.Columns-1)/2) * b.ColumnSpacing
}

// sayBracket lists what is taken of the bracket.
func (t table) sayBracket(b *Bracket, faceGiven bool) {
	t.sayAnchors(&b.Anchors)
	if !faceGiven {
		t.assume("The face that carries the brackets is on the inward side of the posts, which stand outside it: post.base.side.face is not given.")
	}
	if !t.has("below") {
		t.assume("The upper bolts of a bracket stand where the post is held, at post.base.level: post.base.side.below is not given.")
	}
	if b.EdgeBearing {
		t.assume("The plate of a bracket bears at its edge, and the bolts of the row at that edge pull nothing.")
	} else {
		t.assume("The bolts of a bracket take its moment as a couple between the rows; the plate bears at the row that is pressed.")
	}
	if b.Prying == 1 {
		t.caution("Prying is not counted: a thin plate raises the tension of the bolts by a tenth to four tenths; give prying.")
	}
	t.caution("The bracket itself is not checked: its plate, its welds and how it holds the post are covered only by the tested moment of its socket.")
}

// fixingStiffness returns the rotational stiffness that the bolts alone give the bracket about
// the run, N·m/rad: one row stretches, the other, or the edge of the plate, is the fulcrum.
// The lower of both directions.
func (b *Bracket) fixingStiffness() float64 {
	lever := b.Spacing
	if b.EdgeBearing {
		lever += min(b.Bottom, b.Top)
	}
	return float64(b.Columns) * b.axialStiffness() * lever * lever
}
