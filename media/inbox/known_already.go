// Pictures that are recorded already. Before their inbox copy leaves, the kept
// file is read once more: what is damaged or missing is put right from the copy.

package inbox

import (
	"fmt"
	"os"
	"slices"

	"rakelight/journal"
)

// again is for a picture that is recorded already.
func (in *Inbox) again(r read, p *journal.Photo) Outcome {
	mended, err := in.j.Mend(r.Path, p.Hash, p.Path, r.Shown)
	if err != nil {
		return *r.ended(SetAside, fmt.Sprintf("its original %s could not be read or put right (%v); left untouched",
			p.Path, cause(err))).again(err)
	}
	o := Outcome{Path: r.Shown, Status: Duplicate, Why: "kept already as " + p.Path}
	if mended != nil {
		o.Why, o.Notice = mended.String(), true
	}
	if o = in.left(r, o); o.Stuck == "" && r.Inside {
		o.Why += "; this copy was removed"
	}
	if slices.ContainsFunc(p.Beside, func(o journal.Original) bool { return o.Path == p.Path+".xmp" }) {
		in.sidecarLeaves(r, p.Path)
	}
	if _, err := os.Lstat(r.facts.Sidecar); r.Inside && !r.leaving && r.facts.Sidecar != "" && err == nil {
		o.alone = r.facts.Sidecar // another than the kept one, or the photo's first: it goes the way of one that comes alone
	}
	if tags, _, guess := Tag(r.facts, r.instant, r.Folder, in.j.State); p.ToSort() && tags.Build != "" &&
		tags.Stage != "" && !guess {
		// The folder of a second copy is no word on the first one: the person
		// may have sorted copies for another reason.
		o.Why += fmt.Sprintf("; it is to sort, and this copy lay in %s: %s takes that over", r.Folder,
			journal.Typed("rakelight tag %s %s %s", p.Short(), tags.Build, tags.Stage))
	}
	return o
}
