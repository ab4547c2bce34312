package barrier

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.com/stanchion/internal/quantity"
)

// mostAboveCarrier is the height, m, by which an infill may stand above the highest rail that
// carries it, or above its posts: beyond, its edge is held by nothing (rule of this program,
// common practice).
const mostAboveCarrier = 0.3

// mostInfillMass is the mass of a panel, kg/m², beyond which it is a slip: 100 mm of concrete
// (rule of this program).
const mostInfillMass = 250

// infillDraft is the infill as far as it could be read.
type infillDraft struct {
	table
	Infill
	ok bool // it could be read, or there is none
}

// readInfill reads [infill]; all of it may be left out. Rails, run and post are read before.
func (t table) readInfill(rails []railDraft, post postDraft) infillDraft {
	draft := infillDraft{Infill: Infill{Kind: NoInfill}, ok: !t.has("infill") && !t.misspelt("infill")}
	given, ok := t.child("infill", infillTable)
	if !ok {
		return draft
	}
	draft.table, draft.Kind = given, ""
	if t.misspelt("rail") {
		rails = nil // some could not be read
	}
	before := len(t.problems)
	if given.require("kind", `"mesh"`) {
		kind, _ := given.word("kind", []string{string(NoInfill), string(MeshInfill), string(SheetInfill), string(BarInfill)}, nil)
		draft.Kind = InfillKind(kind)
	}
	if draft.Kind == NoInfill {
		draft.refuseRest()
	} else {
		draft.read(rails, post)
	}
	draft.ok = len(t.problems) == before && draft.Kind != ""
	return draft
}

// refuseRest reports what else is told of an infill that is none.
func (i *infillDraft) refuseRest() {
	for _, key := range infillTable.names() {
		if key != "kind" && i.has(key) {
			i.faultOfKey(i.at(key), `the infill is "none", and `+key+" tells of one", `leave it out, or write kind = "mesh", "sheet" or "vertical bars"`)
		}
	}
}

// read reads what an infill is made of, what carries it and where it stands.
func (i *infillDraft) read(rails []railDraft, post postDraft) {
	i.readSubstance()
	carried := i.readCarrier(rails)
	i.readExtent(rails, post, carried)
	i.readOffset()
	if opening, ok := i.positive("opening", quantity.Length); ok {
		i.Opening = &opening
		i.checkOpening()
	}
}

// readSubstance reads mass and solidity.
func (i *infillDraft) readSubstance() {
	if i.require("mass", `"4.5 kg/m2"`) {
		mass, ok := i.quantity("mass", quantity.AreaMass)
		switch {
		case !ok:
		case mass < 0:
			i.fault(i.at("mass"), "the mass is negative", i.like(`write the mass of a square metre of infill, such as "4.5 kg/m2"`))
		case mass > mostInfillMass:
			i.fault(i.at("mass"), "no infill of a tube barrier weighs this much", "write at most "+quantity.Format(mostInfillMass, quantity.AreaMass, i.def.Units))
		default:
			i.Mass = mass
		}
	}
	switch {
	case i.Kind == SheetInfill && i.has("solidity"):
		i.faultOfKey(i.at("solidity"), "a sheet is solid, and takes no solidity", `leave it out, or write kind = "mesh"`)
	case i.Kind == SheetInfill:
		i.Solidity = 1
	case i.require("solidity", "0.35"):
		i.readSolidity()
	}
}

// readSolidity reads the share of the area that is solid.
func (i *infillDraft) readSolidity() {
	const fix = "write the solid area over the gross area seen square on, such as solidity = 0.35"
	v, ok := i.number("solidity", "0.35")
	switch {
	case !ok:
	case v == 1:
		i.fault(i.at("solidity"), "an infill without openings is a sheet", `write kind = "sheet" and leave solidity out`)
	case !(v > 0 && v < 1):
		i.fault(i.at("solidity"), "a solidity lies between 0 and 1", fix)
	default:
		i.Solidity = v
	}
}

// readCarrier reads what carries the infill: posts, or rails, by default the highest and the
// lowest. It says whether that is known.
func (i *infillDraft) readCarrier(rails []railDraft) bool {
	carrier, given := string(CarriedByRails), i.has("carried_by")
	if given {
		word, ok := i.word("carried_by", []string{string(CarriedByRails), string(CarriedByPosts)}, nil)
		if !ok {
			return false
		}
		carrier = word
	}
	i.Carrier = InfillCarrier(carrier)
	switch {
	case i.Carrier == CarriedByPosts && i.has("rails"):
		i.faultOfKey(i.at("rails"), `rails and carried_by = "posts" exclude each other`, `leave rails out, or write carried_by = "rails"`)
		return false
	case i.Carrier == CarriedByPosts:
		return true
	case i.has("rails"):
		return i.readRails(rails)
	case len(rails) < 2:
		if len(rails) == 1 {
			i.faultOfKey(i.path, "one rail cannot carry an infill: it would turn about it", `add carried_by = "posts", or a second [[rail]]`)
		}
		return false
	}
	if !allHeights(rails) || i.misspelt("rails") || i.misspelt("carried_by") {
		return false
	}
	high, low := highest(len(rails), func(k int) float64 { return rails[k].Height }), highest(len(rails), func(k int) float64 { return -rails[k].Height })
	i.Rails = []int{low, high}
	i.assume("The infill is carried by the highest rail, %s, and the lowest, %s: infill.rails is not given.", quote(rails[high].Name), quote(rails[low].Name))
	return true
}

// allHeights says whether the height of every rail could be read.
func allHeights(rails []railDraft) bool {
	return len(rails) > 0 && !slices.ContainsFunc(rails, func(r railDraft) bool { return !r.heightOK })
}

// readRails reads the names of the rails that carry the infill.
func (i *infillDraft) readRails(rails []railDraft) bool {
	const example = `["top", "knee"]`
	names, ok := i.list("rails", example)
	if !ok {
		return false
	}
	for k, value := range names {
		path := element(i.at("rails"), k)
		name, isText := value.(string)
		if !isText {
			i.fault(path, "the name of a rail in quotes is wanted, this is "+kindOf(value), "write rails = "+example)
			ok = false
			continue
		}
		rail, found := i.findRail(path, name, rails)
		if found && slices.Contains(i.Rails, rail) {
			i.fault(path, "rail "+quote(name)+" is named already", "name each rail that carries the infill once")
			found = false
		}
		if !found {
			ok = false
			continue
		}
		i.Rails = append(i.Rails, rail)
	}
	if ok && len(i.Rails) < 2 {
		i.fault(i.at("rails"), fmt.Sprintf("%s cannot carry an infill: it would turn about it", counted(len(i.Rails), "rail")), `name two rails or more, such as `+example+`, or write carried_by = "posts" in place of rails`)
		return false
	}
	if !ok || !allHeights(rails) {
		return false
	}
	slices.SortFunc(i.Rails, func(a, b int) int { return cmp.Compare(rails[a].Height, rails[b].Height) })
	return true
}

// findRail returns the rail of a name, and reports where there is none.
func (r *reader) findRail(path, name string, rails []railDraft) (rail int, ok bool) {
	names := make([]string, len(rails))
	for k := range rails {
		names[k] = rails[k].Name
	}
	if rail = slices.Index(names, name); rail >= 0 {
		return rail, true
	}
	if len(rails) > 0 {
		r.unknownName(path, "rail", name, names)
	}
	return 0, false
}

// readExtent reads bottom and top; carried says whether what carries the infill is known.
func (i *infillDraft) readExtent(rails []railDraft, post postDraft, carried bool) {
	bottom, bottomOK := i.quantity("bottom", quantity.Length)
	top, topOK := i.quantity("top", quantity.Length)
	bottomGiven, topGiven := i.has("bottom"), i.has("top")
	known := carried && allHeights(rails)
	if known && !bottomGiven && !i.misspelt("bottom") {
		bottom, bottomOK = i.defaultBottom(rails)
	}
	if known && !topGiven && !i.misspelt("top") {
		top, topOK = i.defaultTop(rails)
	}
	i.Bottom, i.Top = bottom, top
	deep := bottomOK && bottomGiven && post.levelOK && bottom < math.Min(0, post.Base.Level)-slack
	if deep {
		i.fault(i.at("bottom"), fmt.Sprintf("the infill would reach down to %s, below the walking surface and the foot of the posts", i.sizeText(bottom)), i.like(`write the height of its lower edge above the walking surface, such as "120 mm"`))
	}
	if !deep && bottomOK && topOK && !(top-bottom >= leastStub-printed) {
		at, fix := "top", "write a top that is %s or more above the bottom"
		if !topGiven {
			at, fix = "bottom", "write a bottom that is %s or more below the top"
		}
		if !topGiven && !bottomGiven {
			return
		}
		i.fault(i.at(at), fmt.Sprintf("the infill would reach from %s up to %s", i.sizeText(bottom), i.sizeText(top)), fmt.Sprintf(fix, i.sizeText(leastStub)))
		return
	}
	if topOK && topGiven && known {
		i.checkTop(rails, post)
	}
}

// defaultBottom returns the lower edge of an infill where none is given, m.
func (i *infillDraft) defaultBottom(rails []railDraft) (float64, bool) {
	if i.Carrier == CarriedByPosts {
		i.assume("The infill begins at the walking surface: infill.bottom is not given and taken as %s.", quantity.Size(0))
		return 0, true
	}
	low := &rails[i.Rails[0]]
	i.assume("The infill begins at the axis of the lowest rail that carries it, %s, %s: infill.bottom is not given.", quote(low.Name), quantity.Size(low.Height))
	return low.Height, true
}

// defaultTop returns the upper edge of an infill where none is given, m.
func (i *infillDraft) defaultTop(rails []railDraft) (float64, bool) {
	if i.Carrier == CarriedByPosts {
		top := &rails[highest(len(rails), func(k int) float64 { return rails[k].Height })]
		i.assume("The infill ends at the axis of the highest rail, %s, %s: infill.top is not given.", quote(top.Name), quantity.Size(top.Height))
		return top.Height, true
	}
	high := &rails[i.Rails[len(i.Rails)-1]]
	i.assume("The infill ends at the axis of the highest rail that carries it, %s, %s: infill.top is not given.", quote(high.Name), quantity.Size(high.Height))
	return high.Height, true
}

// checkTop reports an infill that stands too far above what carries it.
func (i *infillDraft) checkTop(rails []railDraft, post postDraft) {
	const fix = "lower it, or let a higher rail carry it"
	if i.Carrier == CarriedByPosts {
		if post.heightOK && i.Top > post.Height+mostAboveCarrier+slack {
			i.fault(i.at("top"), fmt.Sprintf("the infill ends %s above its posts, which end at %s, and at most %s may stand out", i.sizeText(i.Top-post.Height), i.sizeText(post.Height), i.sizeText(mostAboveCarrier)), "lower it, or write a larger post.height")
		}
		return
	}
	high, low := &rails[i.Rails[len(i.Rails)-1]], &rails[i.Rails[0]]
	switch {
	case i.Top > high.Height+mostAboveCarrier+slack:
		i.fault(i.at("top"), fmt.Sprintf("the infill ends %s above rail %s, the highest that carries it, and at most %s may stand out", i.sizeText(i.Top-high.Height), quote(high.Name), i.sizeText(mostAboveCarrier)), fix)
	case i.Top < low.Height-slack:
		i.fault(i.at("top"), fmt.Sprintf("the infill ends at %s, below rail %s at %s, the lowest that carries it", i.sizeText(i.Top), quote(low.Name), i.sizeText(low.Height)), "write a larger top, or name the rails that it reaches")
	}
}

// readOffset reads the distance from the axis of what carries the infill to its middle plane.
func (i *infillDraft) readOffset() {
	if !i.has("offset") {
		if !i.misspelt("offset") {
			i.assume("The infill stands in the plane of what carries it: infill.offset is not given and taken as %s.", quantity.Size(0))
		}
		return
	}
	v, ok := i.quantity("offset", quantity.Length)
	if ok && math.Abs(v) > mostOffset {
		i.fault(i.at("offset"), "no clip holds an infill "+i.sizeText(math.Abs(v))+" beside what carries it",
			"write the distance from the axis of what carries it to its middle plane, positive outward, at most "+i.sizeText(mostOffset))
		return
	}
	i.Offset = v
}

// checkOpening reports an opening that the infill cannot have.
func (i *infillDraft) checkOpening() {
	const most = 1.0 // m
	switch {
	case i.Kind == SheetInfill:
		i.faultOfKey(i.at("opening"), "a sheet has no openings", `leave it out, or write kind = "mesh"`)
	case *i.Opening > most:
		i.fault(i.at("opening"), "an infill with openings of "+i.sizeText(*i.Opening)+" closes nothing", i.like(`write the diameter of the largest ball that passes it, such as "120 mm"`))
	}
}
