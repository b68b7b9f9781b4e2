// Package folder keeps bytes in a folder of this computer under their SHA-256: ab/abcd… for what begins with ab. What is there is
// whole: bytes are written beside, through to the disk, and renamed to their place. What is read is held against its hash.
package folder
