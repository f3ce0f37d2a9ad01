# Build: docker build -t drosswise .
# Run:   docker run -p 8372:8372 -v drosswise:/data drosswise
FROM golang:1.26 AS build
WORKDIR /src
COPY go.mod go.sum ./
RUN go mod download
COPY . .
RUN CGO_ENABLED=0 go build -trimpath -ldflags="-s -w" -o /drosswise ./server

# busybox gives the health check a wget; nothing of it runs otherwise.
FROM busybox:1.37
COPY --from=build /etc/ssl/certs/ca-certificates.crt /etc/ssl/certs/
COPY --from=build /usr/local/go/lib/time/zoneinfo.zip /zoneinfo.zip
COPY --from=build /drosswise /drosswise
RUN adduser -D -H -u 8372 drosswise && mkdir /data && chown drosswise /data
ENV ZONEINFO=/zoneinfo.zip DROSSWISE_ADDR=0.0.0.0:8372 DROSSWISE_DATA=/data
USER drosswise
VOLUME /data
EXPOSE 8372 8374
HEALTHCHECK --interval=30s --timeout=3s CMD wget -q -O - http://127.0.0.1:8372/healthz | grep -q ok
ENTRYPOINT ["/drosswise"]
