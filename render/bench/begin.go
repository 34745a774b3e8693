// What to begin: first the build, then its stage.

package bench

import "rakelight/journal/wording"

// beginPage chooses a stage of a build, or a build.
type beginPage struct {
	Build, Title string
	Builds       []offer // without a build chosen
	Stages       []offer
}

func begin(a *asking) (any, error) {
	var page beginPage
	if a.value("build") == "" {
		for _, b := range a.openBuilds() {
			o, _ := a.goOn(b)
			page.Builds = append(page.Builds, o)
		}
		return page, nil
	}
	b, err := a.ResolveBuild(a.value("build"))
	if err != nil {
		return nil, err
	}
	page.Build, page.Title = b.ID, b.Title
	left := a.Remains(b)
	for _, st := range b.Stages {
		o := offer{Build: b.ID, Stage: st.ID, Title: b.Title, Name: wording.StageName(st)}
		for _, one := range left.Stages {
			if one.Stage == st.ID {
				o.Left = countOf(one.Left, one.Unit) + " left"
			}
		}
		page.Stages = append(page.Stages, o)
	}
	return page, nil
}
