//go:build !linux

package inbox

import "errors"

var errNoMount = errors.New("only Linux is asked to")

func mountSmall(string, int) (func(int) error, error) { return nil, errNoMount }
func readOnlySmall(string) error                      { return errNoMount }
func unmountSmall(string)                             {}
