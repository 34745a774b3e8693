// All builds: the years and the list, where the first page shows only some.

package render

// BuildsPage is builds.html. A journal of few builds has none: its first page
// shows all.
type BuildsPage struct {
	Frame
	Years     []Chart
	Stretches []Stretch
}

const buildsPage = "builds.html"

// fewBuilds is how many builds a list of them shows at most where it is not the
// page's subject.
const fewBuilds = 8

// firstAndLatest are at most n things of a list: the first, and the last ones.
// So a page of many builds opens on where it began and where it stands.
func firstAndLatest[T any](all []T, n int) []T {
	if len(all) <= n {
		return all
	}
	return append([]T{all[0]}, all[len(all)-n+1:]...)
}

func (v *view) buildsPage() BuildsPage {
	return BuildsPage{v.frame("", "builds", v.Say("All builds")), v.yearCharts(v.order), v.stretches("", v.order)}
}
