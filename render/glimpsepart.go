// What a build can and cannot say of which nothing was kept but photos.

package render

// photosOnly reports whether nothing but photos tells of the work on a build.
func (b *build) photosOnly() bool { return b.glimpse.Alone && b.glimpse.Photos > 0 && len(b.work) == 0 }

// glimpseSays is in one line what photos alone can tell of a build; "" = a timer or cards
// tell of it, or there are no photos.
func (v *view) glimpseSays(b *build) string {
	g := b.glimpse
	if !g.Alone || g.Photos == 0 {
		return ""
	}
	photos, evenings := v.count(g.Photos, "photo"), v.count(g.Evenings, "dative¦evening")
	switch {
	case g.Evenings == 0:
		return v.Say("%s without a known day, and no timer: nothing tells how long the work took. They count fully in then and now, blind pairs and marks.",
			photos)
	case g.Least == 0:
		return v.Say("%s of %s, no timer: nothing tells how long the work took. They count fully in then and now, blind pairs and marks.",
			photos, evenings)
	}
	return v.Say("%s of %s, no timer: at least %s at the bench, by groups of photos; not in any comparison of pace. They count fully in then and now, blind pairs and marks.",
		photos, evenings, v.inHours(g.Least.Hours()))
}
