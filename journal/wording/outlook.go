// What a forecast leaves out, as the trade says it.

package wording

import (
	"slices"

	"rakelight/journal"
	"rakelight/journal/say"
)

// Outlook is an outlook whose sentences name stages and kinds of work as the trade
// does in a language: it is for words alone, since a command knows stages by their ids.
func Outlook(o journal.Outlook, in *say.Speaker) journal.Outlook {
	o.Uncounted = slices.Clone(o.Uncounted)
	for i, id := range o.Uncounted {
		if st := o.Build.Stage(id); st != nil {
			o.Uncounted[i] = in.Inside(Stage(*st).In(in))
		}
	}
	o.LeftOut = slices.Clone(o.LeftOut)
	for i, t := range o.LeftOut {
		o.LeftOut[i].Kind = in.Inside(Kind(t.Kind).In(in))
	}
	return o
}
