package inbox

import (
	"fmt"
	"syscall"
)

// mountSmall puts a file system of a size in memory under a folder; remount gives
// it another size.
func mountSmall(dir string, kilobytes int) (remount func(kilobytes int) error, err error) {
	size := func(k int) string { return fmt.Sprintf("size=%dk", k) }
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, size(kilobytes)); err != nil {
		return nil, err
	}
	return func(k int) error { return syscall.Mount("tmpfs", dir, "tmpfs", syscall.MS_REMOUNT, size(k)) }, nil
}

func readOnlySmall(dir string) error {
	return syscall.Mount("tmpfs", dir, "tmpfs", syscall.MS_REMOUNT|syscall.MS_RDONLY, "")
}

func unmountSmall(dir string) { _ = syscall.Unmount(dir, syscall.MNT_DETACH) }
