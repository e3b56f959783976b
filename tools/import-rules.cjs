// Who may import whom, as in DEVELOPERS.md. Type-only imports count.

/** Files of a feature that the rooms above it may call: its SQL and its writes, never its routes or pages. */
const verbs = '^src/features/[^/]+/(queries|scopes|[a-z]+-[a-z-]+)[.]ts$'

const only = (name, comment, from, allowed) => ({
  name,
  comment,
  severity: 'error',
  from: { path: from },
  to: { path: '^(src|seed|tests|bench|tools)/', pathNot: allowed },
})

module.exports = {
  forbidden: [
    {
      name: 'no-cycle',
      comment: 'Two files that need each other are one file, or miss a third.',
      severity: 'error',
      from: {},
      to: { circular: true },
    },
    {
      name: 'everything-resolves',
      comment: 'An import that the checker cannot follow is one it does not check.',
      severity: 'error',
      // The generated client's package is made by the test that type-checks its trip.
      from: { pathNot: '^tests/published/client/' },
      to: { couldNotResolve: true },
    },
    {
      name: 'no-barrel',
      comment: 'An index.ts hides who depends on whom.',
      severity: 'error',
      from: {},
      to: { path: '^(src|seed|tests|bench)/.*/index[.]tsx?$' },
    },
    only('domain-stands-alone', 'The rules of the trade know no database, no clock and no framework.', '^src/domain/', [
      '^src/domain/',
    ]),
    {
      name: 'domain-packages',
      comment: 'Domain uses three pure libraries: zod for the shape of a policy, the calendar, exact fractions.',
      severity: 'error',
      from: { path: '^src/domain/' },
      to: { dependencyTypesNot: ['local'], pathNot: ['node_modules/(zod|temporal-polyfill|fraction[.]js)/', '^src/'] },
    },
    only('platform-knows-no-radon', 'Platform serves any trade.', '^src/platform/', ['^src/platform/']),
    only('jobs-are-definitions', 'Names and payload schemas of jobs, no handlers.', '^src/jobs[.]ts$', []),
    only('web-prints', 'Web prints what it is given.', '^src/web/', ['^src/web/', '^src/domain/']),
    only('standing-decides-nothing', 'Where features meet.', '^src/standing/', [
      '^src/(standing|domain|platform)/',
      '^src/jobs[.]ts$',
    ]),
    {
      ...only('features-are-neighbours', 'A feature never imports another: see DEVELOPERS.md, when A needs B.', '', []),
      from: { path: '^src/features/([^/]+)/' },
      to: {
        path: '^(src|seed|tests|bench|tools)/',
        pathNot: ['^src/features/$1/', '^src/(standing|web|platform|domain)/', '^src/jobs[.]ts$'],
      },
    },
    only(
      'intake-uses-verbs',
      'Intake writes many nouns at once, through the verbs of their features.',
      '^src/intake/',
      ['^src/(intake|standing|web|platform|domain)/', '^src/jobs[.]ts$', verbs],
    ),
    only(
      'putting-right-uses-verbs',
      'Putting right changes many nouns at once, through the verbs of their features and of intake.',
      '^src/putting-right/',
      ['^src/(putting-right|standing|web|platform|domain)/', '^src/jobs[.]ts$', '^src/intake/', verbs],
    ),
    only('ops-knows-no-radon', 'Ops keeps the process and its database running.', '^src/ops/', [
      '^src/(ops|platform)/',
    ]),
    only('main-starts', 'The process puts together, it does not decide.', '^src/main[.]ts$', [
      '^src/(app|jobs)[.]ts$',
      '^src/(ops|platform)/',
      '^seed/',
    ]),
    only('cli-is-an-actor', "The operator's command writes through the same verbs as everyone.", '^src/cli([.]ts$|/)', [
      '^src/(app|web/paths)[.]ts$',
      '^src/(cli|ops|intake|putting-right|platform)/',
      '^seed/',
      verbs,
    ]),
    {
      name: 'nobody-imports-the-process',
      comment: 'main.ts and cli.ts start on import; app.ts is for them and the tests.',
      severity: 'error',
      from: { path: '^src/', pathNot: '^src/(main[.]ts$|cli)' },
      to: { path: '^src/(main|cli|app)[.]ts$' },
    },
    {
      name: 'source-needs-no-rig',
      comment: 'Only tests, bench and seed may look at everything.',
      severity: 'error',
      from: { path: '^src/' },
      to: { path: '^(tests|bench|tools)/' },
    },
    {
      name: 'engine-in-its-place',
      comment: "Prisma's schema engine is an internal, pinned interface.",
      severity: 'error',
      from: { path: '^(src|seed|tests|bench)/', pathNot: '^src/ops/schema-engine[.]ts$' },
      to: { path: 'node_modules/@prisma/(schema-engine-wasm|driver-adapter-utils)/' },
    },
    {
      name: 'published-checks-look-from-outside',
      comment: 'A published number is checked against the domain, /v1 and the pages, not against our queries.',
      severity: 'error',
      from: { path: '^tests/published/' },
      to: { path: '^src/', pathNot: '^src/domain/' },
    },
    {
      name: 'ships-with-the-program',
      comment: 'A production install leaves devDependencies out.',
      severity: 'error',
      from: { path: '^(src|seed)/' },
      to: { dependencyTypes: ['npm-dev', 'npm-no-pkg', 'npm-unknown'], pathNot: 'node_modules/@types/' },
    },
  ],
  options: {
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    doNotFollow: { path: 'node_modules' },
    exclude: { path: '^dist/' },
    enhancedResolveOptions: { exportsFields: ['exports'], conditionNames: ['import', 'node', 'types', 'default'] },
  },
}
