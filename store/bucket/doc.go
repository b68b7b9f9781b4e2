// Package bucket keeps bytes in an S3-style bucket under their SHA-256, for several programs on several machines. A file goes up in one
// request, which the server takes whole, its checksum held, or not at all; what is read is held against its hash.
package bucket
