// The build without the LGPL-3 libraries: HEIC originals are kept, and their
// pictures are not shown.

//go:build noheic

package codec

import "image"

// HEIC says whether HEIC pictures can be decoded in this build.
const HEIC = false

func decodeHEIC([]byte, Limits) (image.Image, error) { return nil, ErrLeftOut }
