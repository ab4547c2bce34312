package barrier

import (
	"fmt"
	"math"
	"strings"

	"example.com/stanchion/internal/quantity"
)

// defaultStock is the longest piece of a rail, m, where the file does not say.
const defaultStock = 6

// railDraft is a rail as far as it could be read.
type railDraft struct {
	table
	*Rail
	heightOK bool // Height could be read
	ringOK   bool // the tube could be read
}

// readRails reads name and height of every [[rail]]; what depends on the run and the
// post follows in readPieces.
func (t table) readRails() []railDraft {
	tables := t.children("rail", railTable, MaxRails)
	if len(tables) == 0 && t.absent("rail") {
		t.missing("no [[rail]]: a barrier has at least one rail", t.like(`add [[rail]] with height, tube, grade and through, such as height = "1100 mm"`))
	}
	rails := make([]railDraft, 0, len(tables))
	for i, table := range tables {
		rail := railDraft{table: table, Rail: &Rail{}}
		rail.readName(i, rails)
		if rail.require("height", `"1100 mm"`) {
			rail.Height, rail.heightOK = rail.readTop()
		}
		rails = append(rails, rail)
	}
	return rails
}

// readName reads the rail's name, by default its place in the file.
func (r railDraft) readName(i int, before []railDraft) {
	name, ok := r.text("name", "top")
	if !ok {
		r.Name = fmt.Sprintf("rail %d", i+1)
		return
	}
	r.Name = name
	for j, other := range before {
		if other.Name == name {
			r.fault(r.at("name"), fmt.Sprintf("rail %d has this name already", j+1), "give each rail a name of its own")
			return
		}
	}
}

// checkBelow reports a rail above the top of the post.
func (r railDraft) checkBelow(postHeight float64) {
	if r.heightOK && r.Height > postHeight+slack {
		r.fault(r.at("height"), fmt.Sprintf("the rail's axis at %s is above the post, which ends at %s", r.sizeText(r.Height), r.sizeText(postHeight)),
			"lower the rail, or write a larger post.height")
	}
}

// readPieces reads tube, grade and pieces of every rail.
func (t table) readPieces(rails []railDraft, run runDraft, post postDraft) {
	var fromStock []string
	for i := range rails {
		rail := &rails[i]
		rail.Member, rail.ringOK = rail.readMember()
		rail.Net = rail.readNet(&rail.Member, rail.ringOK)
		rail.checkApart(rails[:i])
		if rail.readPiece(run, post) {
			fromStock = append(fromStock, quote(rail.Name))
		}
	}
	if len(fromStock) > 0 {
		t.assume("No piece of rail %s is longer than %s: stock is not given.", strings.Join(fromStock, ", "), quantity.Place(defaultStock))
	}
}

// checkApart reports a rail that touches one above or below it.
func (r railDraft) checkApart(before []railDraft) {
	if !r.heightOK {
		return
	}
	for _, other := range before {
		if !other.heightOK {
			continue
		}
		gap := math.Abs(r.Height - other.Height)
		if gap <= slack {
			r.fault(r.at("height"), fmt.Sprintf("rail %s is at %s already", quote(other.Name), r.sizeText(other.Height)), "give each rail a height of its own")
			return
		}
		if apart := (r.Ring.OD + other.Ring.OD) / 2; r.ringOK && other.ringOK && gap < apart-slack {
			r.fault(r.at("height"), fmt.Sprintf("the axis is %s from that of rail %s, and their tubes need %s", r.sizeText(gap), quote(other.Name), r.sizeText(apart)),
				"set the rails farther apart")
			return
		}
	}
}

// readPiece reads how the rail is made of pieces. It says whether the pieces of a
// through rail are those of the default stock.
func (r railDraft) readPiece(run runDraft, post postDraft) (fromStock bool) {
	stock, stockOK := float64(defaultStock), true
	if r.has("stock") {
		stock, stockOK = r.positive("stock", quantity.Length)
	}
	r.Stock = stock
	r.readSpliceMoment()
	through, ok := r.readThrough()
	if !ok {
		return false
	}
	r.Through = through
	for _, key := range []string{"splice_slip", "splice_shear", "splice_class"} {
		if !through && r.has(key) {
			r.faultOfKey(r.at(key), "a rail that is cut at every post has no splices", "leave "+key+" out, or write through = true")
		}
	}
	if !through && r.SpliceMoment.Kind != FreeJoint {
		r.faultOfKey(r.at("splice_moment"), "a rail that is cut at every post has no splices", "leave splice_moment out, or write through = true")
	}
	if !through {
		r.SpliceState = CutAtPosts
		if stockOK {
			r.checkBays(run)
		}
		return false
	}
	if r.has("splices") {
		r.SpliceState = SplicesGiven
		r.readSplices(run, post, stockOK)
	} else if run.known() && run.longestStretch() > stock+cutting {
		r.SpliceState = SplicesUnknown
	} else {
		r.SpliceState = SplicesNotNeeded
	}
	return !r.has("stock")
}

// readThrough reads whether the rail runs through: splices imply that it does.
func (r railDraft) readThrough() (through, ok bool) {
	switch {
	case !r.has("through") && !r.has("splices"):
		if r.misspelt("through") || r.misspelt("splices") {
			return false, false
		}
		r.lacks("nothing says whether the rail runs through", "add through = true, or through = false for a rail that is cut at every post, or the positions of its splices")
		return false, false
	case !r.has("through"):
		return true, true
	}
	through, ok = r.flag("through")
	if ok && !through && r.has("splices") {
		r.faultOfKey(r.at("splices"), "a rail that is cut at every post takes no splices", "leave splices out, or write through = true")
		return false, false
	}
	return through, ok
}

// checkBays reports the first bay whose piece of a rail that is cut at every post is
// longer than stock. An overhang belongs to the piece of the bay beside it.
func (r railDraft) checkBays(run runDraft) {
	if !run.known() {
		return
	}
	supports := run.Supports()
	for _, piece := range run.cut(supports[1 : len(supports)-1]) {
		if piece.length() > r.Stock+cutting {
			bay := bayOf(supports, (piece.from+piece.to)/2)
			r.fault(r.at("through"), fmt.Sprintf("the piece in bay %d is %s long, the longest piece is %s", bay+1, r.placeText(piece.length()), r.placeText(r.Stock)),
				"write a larger stock or closer posts")
			return
		}
	}
}
