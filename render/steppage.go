// One kind of step in all builds, where then and now and the page of pace show
// only the first and the latest.

package render

// StepPage is step-<kind>.html.
type StepPage struct {
	Frame
	Row  SheetRow
	Pace *KindPart // nil where no session counted
}

// stepPage is the address of a step's page.
func stepPage(kind string) string { return "step-" + kind + ".html" }

// stepPages are the kinds of step that have a page of their own.
func (v *view) stepPages() []string {
	if len(v.order) <= fewBuilds {
		return nil
	}
	return v.sheetKinds()
}

func (v *view) stepPage(kind string) StepPage {
	p := StepPage{Frame: v.frame("", "step", kindTitle(kind)+" in all builds")}
	p.Script = "sheet.js"
	builds := v.stepBuilds(kind)
	p.Row = v.sheetRow(kind, builds, builds)
	if part, ok := v.kindPart(kind, len(v.order)); ok {
		p.Pace = &part
	}
	return p
}
