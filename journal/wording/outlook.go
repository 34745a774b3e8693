// What a forecast leaves out, as the trade says it.

package wording

import (
	"slices"
	"strings"

	"rakelight/journal"
)

// Outlook is an outlook whose sentences name stages and kinds of work as the trade
// does: it is for words alone, since a command knows stages by their ids.
func Outlook(o journal.Outlook) journal.Outlook {
	o.Uncounted = slices.Clone(o.Uncounted)
	for i, id := range o.Uncounted {
		if st := o.Build.Stage(id); st != nil {
			o.Uncounted[i] = lower(StageName(*st))
		}
	}
	o.LeftOut = slices.Clone(o.LeftOut)
	for i, t := range o.LeftOut {
		o.LeftOut[i].Kind = lower(KindName(t.Kind))
	}
	return o
}

// lower begins a name small, for running text.
func lower(name string) string {
	if name == "" {
		return ""
	}
	return strings.ToLower(name[:1]) + name[1:]
}
