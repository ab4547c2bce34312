package barrier

import (
	"fmt"
	"math"

	"example.com/stanchion/internal/quantity"
)

// postDraft is the post as far as it could be read.
type postDraft struct {
	Post
	ringOK, heightOK, levelOK bool
}

// readPost reads [post] and [post.base]. The post reaches the highest rail where its
// height is left out.
func (t table) readPost(rails []railDraft) postDraft {
	post, ok := t.child("post", postTable)
	if !ok {
		if t.absent("post") {
			t.missing("[post] is missing", t.like(`add [post] with tube and grade, such as tube = "EN 10255 DN40 medium" and grade = "S195T"`))
		}
		return postDraft{}
	}
	var p postDraft
	p.Member, p.ringOK = post.readMember()
	p.Net = post.readNet(&p.Member, p.ringOK)
	p.Height, p.heightOK = post.readPostHeight(rails)
	if p.heightOK {
		for _, rail := range rails {
			rail.checkBelow(p.Height)
		}
	}
	p.Base, p.levelOK = post.readBase(rails, &p)
	return p
}

// readTop reads the height of a post's top or of a rail, m.
func (t table) readTop() (float64, bool) {
	v, ok := t.positive("height", quantity.Length)
	if ok && v > mostPost {
		t.fault(t.at("height"), "no guard rail is "+t.sizeText(v)+" high", "write the height above the walking surface, at most "+t.sizeText(mostPost))
		return 0, false
	}
	return v, ok
}

// readPostHeight reads the height of the post, by default that of the highest rail.
func (t table) readPostHeight(rails []railDraft) (float64, bool) {
	if t.has("height") {
		return t.readTop()
	}
	height, ok := 0.0, len(rails) > 0
	for _, rail := range rails {
		height = math.Max(height, rail.Height)
		ok = ok && rail.heightOK
	}
	if ok {
		t.assume("The posts end at the axis of the highest rail, %s: post.height is not given.", quantity.Size(height))
	}
	return height, ok
}

// readBase reads [post.base]; all of it may be left out.
func (t table) readBase(rails []railDraft, p *postDraft) (b Base, levelOK bool) {
	b.Socket.ValuesFactor = 1
	base, ok := t.child("base", baseTable)
	if ok {
		before := len(t.problems)
		b.Stiffness, b.FromFixing = base.readStiffness()
		b.Level, levelOK = base.quantity("level", quantity.Length)
		b.Loose, _ = base.flag("loose")
		base.readKind(&b, p)
		if b.FromFixing {
			base.takeFixingStiffness(&b, p, before)
		}
	}
	if !base.has("level") && (ok || !t.has("base")) {
		levelOK = true
		t.assume("The posts are held at the walking surface: post.base.level is not given and taken as %s.", quantity.Size(0))
	}
	if !levelOK {
		return b, false
	}
	for _, rail := range rails {
		if !rail.heightOK {
			continue
		}
		if b.Level > rail.Height-slack {
			what := fmt.Sprintf("the post is held at %s, not below rail %s at %s", t.sizeText(b.Level), quote(rail.Name), t.sizeText(rail.Height))
			t.fault(base.at("level"), what, "write a level below every rail; below the walking surface it is negative")
			return b, false
		}
		if rail.Height-b.Level < leastStub-printed {
			what := fmt.Sprintf("the axis of rail %s at %s is at the foot of the posts, which are held at %s", quote(rail.Name), t.sizeText(rail.Height), t.sizeText(b.Level))
			rail.fault(rail.at("height"), what, "write a height of at least "+t.sizeText(leastStub)+" above the foot")
			return b, false
		}
	}
	return b, true
}

// fromFixing is the stiffness of a foot that is found from its fixing.
const fromFixing = "from fixing"

// readStiffness reads "rigid", one stiffness, softest and stiffest, or that it is that of the
// fixing.
func (t table) readStiffness() (k []float64, ofFixing bool) {
	switch value := t.values["stiffness"].(type) {
	case nil:
		return nil, false
	case []any:
		return t.readStiffnessRange(value), false
	default:
		if value == fromFixing {
			return nil, true
		}
		if k, ok := t.footStiffness(t.at("stiffness"), value); ok {
			return []float64{k}, false
		}
		return nil, false
	}
}

// readStiffnessRange reads softest and stiffest.
func (t table) readStiffnessRange(values []any) []float64 {
	example := t.like(`["60 kNm/rad", "200 kNm/rad"]`)
	if len(values) != 2 {
		t.fault(t.at("stiffness"), fmt.Sprintf("a range has two stiffnesses, this list has %d", len(values)), "write softest and stiffest, such as "+example)
		return nil
	}
	softest, softestOK := t.footStiffness(element(t.at("stiffness"), 0), values[0])
	stiffest, stiffestOK := t.footStiffness(element(t.at("stiffness"), 1), values[1])
	switch {
	case !softestOK || !stiffestOK:
		return nil
	case softest == stiffest:
		t.fault(t.at("stiffness"), "both ends of the range are the same", "write one stiffness, or two that differ")
		return nil
	case softest > stiffest:
		t.fault(t.at("stiffness"), "the range runs from stiff to soft", "write the softer end first, such as "+example)
		return nil
	}
	return []float64{softest, stiffest}
}

// footStiffness reads one rotational stiffness, N·m/rad, or "rigid", +Inf.
func (t table) footStiffness(path string, value any) (float64, bool) {
	if word, isText := value.(string); isText {
		if word == "rigid" {
			return math.Inf(1), true
		}
		if near, ok := likely(word, []string{"rigid", fromFixing}); ok {
			t.fault(path, "unknown word "+quote(word), `write "`+near+`", or a stiffness such as `+t.like(`"150 kNm/rad"`))
			return 0, false
		}
	}
	k, ok := t.quantityAt(path, value, quantity.RotationalStiffness)
	if ok && k <= 0 {
		t.fault(path, "a foot of no stiffness does not hold a post up", `write a stiffness of more than 0, or leave it out where it is not known`)
		return 0, false
	}
	return k, ok
}
