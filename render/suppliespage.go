// The shopping list: what all open builds need.

package render

import "rakelight/journal"

// suppliesPage is the address of the shopping list.
const suppliesPage = "supplies.html"

// SuppliesPage is supplies.html.
type SuppliesPage struct {
	Frame
	Sum   string // "3 things are missing, 1 is on its way"
	Lists []SupplyList
}

// SupplyList is what one build needs.
type SupplyList struct {
	Build Tag
	Open  []SupplyLine // missing, or on their way
	Lacks []TopicLine  // parts
	Had   int          // that are there
}

// SupplyLine is one thing.
type SupplyLine struct{ Text, Words string }

func (v *view) supplies() SuppliesPage {
	p := SuppliesPage{Frame: v.frame("", "supplies", "Supplies")}
	missing, coming := 0, 0
	for _, b := range v.order {
		if b.Finished != "" {
			continue
		}
		list := SupplyList{Build: b.tag(""), Lacks: v.lackLines("", b, v.Lacking(b.ID))}
		for _, s := range v.SuppliesOf(b.Build) {
			switch {
			case !s.Open():
				list.Had++
				continue
			case s.State == journal.SupplyOrdered:
				coming++
			default:
				missing++
			}
			list.Open = append(list.Open, SupplyLine{s.Text, v.supplyWords(s)})
		}
		if len(list.Open)+len(list.Lacks) > 0 {
			p.Lists = append(p.Lists, list)
		}
	}
	switch {
	case missing > 0 && coming > 0:
		p.Sum = v.count(missing, "thing") + " missing, " + v.count(coming, "thing") + " on the way."
	case missing > 0:
		p.Sum = v.count(missing, "thing") + " missing."
	case coming > 0:
		p.Sum = v.count(coming, "thing") + " on the way, nothing else missing."
	}
	return p
}

// suppliesDigest is of the shopping list.
func (v *view) suppliesDigest() digest {
	var e encoding
	for _, b := range v.order {
		if b.Finished == "" {
			e.any(v.digest().heads[b])
			e.any(v.SuppliesOf(b.Build))
			e.any(v.Lacking(b.ID))
			e.any(v.leafNames(b))
		}
	}
	return e.sum()
}

// leafNames are the addresses of the parts of a build.
func (v *view) leafNames(b *build) map[string]string {
	v.leaves(b)
	return b.places
}
