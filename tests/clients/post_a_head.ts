// A shop system with a client that was generated: posts a head twice under one key, waits, and keeps its sheet.

import { readFile, writeFile } from "node:fs/promises";
import createClient from "openapi-fetch";
import type { components, paths } from "./headproof.js";

type JobRequest = components["schemas"]["JobRequest"];

type Arguments = [string, string, string, string, string];

const [address, keyFile, requestFile, postKey, sheetFile] = process.argv.slice(2) as Arguments;
const key = (await readFile(keyFile, "utf8")).trim();
const request = JSON.parse(await readFile(requestFile, "utf8")) as JobRequest;
const client = createClient<paths>({ baseUrl: address, headers: { Authorization: `Bearer ${key}` } });

/** What was answered, if it is what was asked for; else the problem is shown. */
function expect<T>(answer: { data?: T; error?: unknown; response: Response }, status: number): T {
    if (answer.response.status !== status || answer.data === undefined) {
        throw new Error(`${answer.response.status}: ${JSON.stringify(answer.error)}`);
    }
    return answer.data;
}

const post = async () =>
    expect(
        await client.POST("/v1/jobs", { params: { header: { "Idempotency-Key": postKey } }, body: request }),
        202,
    );
const posts = [await post(), await post()] as const;
let job = posts[0];
const path = { id: job.id };
while (job.state === "queued" || job.state === "running") {
    job = expect(await client.GET("/v1/jobs/{id}", { params: { path, header: { Prefer: "wait=2" } } }), 200);
}
const evaluation = expect(await client.GET("/v1/jobs/{id}/evaluation", { params: { path } }), 200);
const sheet = expect(
    await client.GET("/v1/jobs/{id}/sheet", { params: { path }, parseAs: "arrayBuffer" }),
    200,
);
await writeFile(sheetFile, new Uint8Array(sheet));
console.log(
    JSON.stringify({ jobs: posts.map(({ id }) => id), state: job.state, disposition: evaluation.disposition }),
);
