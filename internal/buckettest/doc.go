// Package buckettest gives tests buckets on a real server that speaks the S3 protocol: it starts one, once a test process, and ends
// it when the process ends, however it ends. scripts/bucket-server.sh builds the server where it is not there.
package buckettest
