// One kind of step in all builds: its pace with the sessions behind it, and its photos.

package render

import "rakelight/journal"

// StepPage is step-<kind>.html.
type StepPage struct {
	Frame
	Row  SheetRow
	Pace *KindPart // nil where no session counted
	Like AlikeHint
}

// stepPage is the address of a step's page.
func stepPage(kind string) string { return "step-" + kind + ".html" }

// stepPages are the kinds of step that have a page of their own: those with a pace,
// and of many builds those of which then and now shows only some.
func (v *view) stepPages() []string {
	if len(v.order) > fewBuilds {
		return v.sheetKinds()
	}
	var kinds []string
	for _, kind := range journal.Kinds {
		if v.paced(kind) {
			kinds = append(kinds, kind)
		}
	}
	return kinds
}

func (v *view) stepPage(kind string) StepPage {
	p := StepPage{Frame: v.frame("", "step", v.Say("%s in all builds", v.kindTitle(kind)))}
	p.Script = "sheet.js"
	p.Like = v.alikeHint(kind)
	builds := v.stepBuilds(kind)
	p.Row = v.sheetRow(kind, builds, builds)
	if part, ok := v.kindPart(kind); ok {
		p.Pace = &part
	}
	return p
}
