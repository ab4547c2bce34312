package barrier

import (
	"fmt"

	"example.com/stanchion/internal/quantity"
)

// Stock is what the user can have: the tubes, each in a grade, and what things cost. Prices are
// plain numbers in one currency, whatever it is.
type Stock struct {
	Tubes    []StockTube // in the order of the list; none where prices alone are given
	Currency string      // the user's word for it; empty where nothing has a price
	Fitting  *float64    // price of one fitting; nil where none is given
	Foot     *float64    // price of one foot, with what fixes it; nil where none is given
}

// StockTube is one tube of the stock.
type StockTube struct {
	Member
	Use   StockUse
	Price *float64 // of a metre, in Stock.Currency; nil where none is given
	// Written and WrittenGrade are the tube and the grade as the list has them, to be put into a
	// definition: names, or tables of values.
	Written, WrittenGrade any
}

// StockUse says what a tube of the stock is for.
type StockUse string

// The uses of a tube.
const (
	ForPosts StockUse = "post"
	ForRails StockUse = "rail"
	ForBoth  StockUse = "both"
)

// stockUses are the words for the uses, in order.
func stockUses() []string { return []string{string(ForPosts), string(ForRails), string(ForBoth)} }

// ServesPosts reports whether the tube may be that of posts.
func (s *StockTube) ServesPosts() bool { return s.Use != ForRails }

// ServesRails reports whether the tube may be that of rails.
func (s *StockTube) ServesRails() bool { return s.Use != ForPosts }

// readStock reads [stock]; nil where there is none.
func (t table) readStock() *Stock {
	given, ok := t.child("stock", stockTable)
	if !ok {
		return nil
	}
	stock := &Stock{
		Fitting: given.price("fitting_price", "9.50"),
		Foot:    given.price("foot_price", "42"),
	}
	stock.Currency, _ = given.text("currency", "EUR")
	stock.Tubes = given.readStockTubes()
	given.checkCurrency(stock)
	return stock
}

// readStockTubes reads the list of tubes.
func (t table) readStockTubes() []StockTube {
	if list, isList := t.values["tubes"].([]any); isList && len(list) == 0 {
		t.fault(t.at("tubes"), "the list of tubes is empty", "list the tubes that can be had, or leave tubes out")
		return nil
	}
	var tubes []StockTube
	for _, entry := range t.children("tubes", stockTubeTable, MaxStock) {
		if tube, ok := entry.readStockTube(); ok && entry.isNew(&tube, tubes) {
			tubes = append(tubes, tube)
		}
	}
	return tubes
}

// readStockTube reads one tube of the list. What its tube or grade would be cautioned of is said
// of a barrier that is built of it, not of one that is not.
func (t table) readStockTube() (s StockTube, ok bool) {
	before, cautions, assumptions := len(t.problems), t.def.Cautions, t.def.Assumptions
	s.Member, _ = t.readMember()
	t.def.Cautions, t.def.Assumptions = cautions, assumptions
	s.Written, s.WrittenGrade = t.values["tube"], t.values["grade"]
	s.Use = ForBoth
	if word, given := t.word("use", stockUses(), nil); given {
		s.Use = StockUse(word)
	}
	s.Price = t.tubePrice()
	return s, len(t.problems) == before
}

// tubePrice reads the price of a tube by the metre or by the foot, for a metre.
func (t table) tubePrice() *float64 {
	perMetre, perFoot := t.price("price_per_m", "7.20"), t.price("price_per_ft", "2.20")
	switch {
	case t.has("price_per_m") && t.has("price_per_ft"):
		t.faultOfKey(t.at("price_per_ft"), "price_per_m and price_per_ft exclude each other", "keep one of them")
		return nil
	case perFoot != nil:
		*perFoot /= quantity.In(1, "m") / quantity.In(1, "ft")
		return perFoot
	}
	return perMetre
}

// price reads a price, a number from 0 on; nil where there is none.
func (t table) price(key, example string) *float64 {
	v, ok := t.number(key, example)
	switch {
	case !ok:
		return nil
	case v < 0:
		t.fault(t.at(key), "the price is negative", "write a price of 0 or more")
		return nil
	case v > maxPrice:
		t.fault(t.at(key), "the price is too large", fmt.Sprintf("write less than %g", float64(maxPrice)))
		return nil
	}
	return &v
}

// maxPrice is far beyond any price of a tube in any currency.
const maxPrice = 1e12

// isNew reports a tube that is listed before in the same grade and for the same use.
func (t table) isNew(tube *StockTube, before []StockTube) bool {
	for i := range before {
		b := &before[i]
		both := tube.ServesPosts() && b.ServesPosts() || tube.ServesRails() && b.ServesRails()
		if both && tube.NameIn(t.def.Units) == b.NameIn(t.def.Units) && tube.GradeIn(t.def.Units) == b.GradeIn(t.def.Units) && tube.Grade.Standard == b.Grade.Standard {
			t.fault(t.at("tube"), fmt.Sprintf("%s in %s is listed before for the same use", tube.NameIn(t.def.Units), tube.GradeIn(t.def.Units)), "list each tube once in each grade and use")
			return false
		}
	}
	return true
}

// checkCurrency reports prices without the word for their currency.
func (t table) checkCurrency(stock *Stock) {
	if !t.absent("currency") || !stock.HasPrices() {
		return
	}
	t.lacks("prices stand without a currency", `add currency = "EUR", or any word of your own`)
}

// HasPrices reports whether anything has a price.
func (s *Stock) HasPrices() bool {
	for i := range s.Tubes {
		if s.Tubes[i].Price != nil {
			return true
		}
	}
	return s.Fitting != nil || s.Foot != nil
}
