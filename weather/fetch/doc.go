// Package fetch asks a public weather service for a forecast over the network: the
// one impure room of package weather. The service's address comes from the firm
// file, so nothing is asked that nobody wrote down.
//
// It takes a [Provider] (address template, name of the asker) and a site, and
// gives a forecast as package weather/forecast reads it. Answers are kept in a
// folder and asked for again only when the service says they have expired, and
// then on condition (ETag, Last-Modified), as the services request. Without a
// network the kept answer is used and its age is told; without one, the error says
// what to do: everything else works from a file or from monthly norms.
package fetch
