# Spokeword as one static binary on an empty base: time zones and the roots of
# trust are inside the binary, nothing else is needed.
#
#   docker build -t spokeword .
#   docker run --rm -it --read-only spokeword
#   docker run --rm --read-only spokeword ask "pressure 80kg 29x2.4 i30 trail"

FROM golang:1.26 AS build
WORKDIR /src
COPY go.mod go.sum ./
RUN go mod download
COPY . .
ARG RELEASE=
RUN CGO_ENABLED=0 go build -trimpath -buildvcs=false \
	-ldflags "-s -w -X main.release=${RELEASE}" -o /spokeword ./cmd/spokeword

FROM scratch
COPY --from=build /spokeword /spokeword
# Nobody in particular: no name, no home, no rights.
USER 65532:65532
ENTRYPOINT ["/spokeword"]
