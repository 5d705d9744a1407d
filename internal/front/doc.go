// Package front stands before everything the server answers: it numbers requests
// and logs them, measures them for Prometheus, believes a proxy about where they
// come from, and holds the certificate.
package front
