/* A service of its own on a free port with an empty record, and its calculators asked over one interface. */
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const AT_ONCE = 8;

/** Starts the program that WEIRBOOK names; answers {ask, askAll, stop}. */
export async function startService() {
  const folder = mkdtempSync(join(tmpdir(), 'weirbook-second-'));
  const child = spawn(process.env.WEIRBOOK, ['serve', '--db', join(folder, 'weirbook.db'), '--listen', '127.0.0.1:0'],
    { stdio: ['ignore', 'pipe', 'inherit'] });
  const base = await new Promise((resolve, reject) => {
    let said = '';
    child.stdout.on('data', (bytes) => {
      said += bytes;
      const port = /:(\d+)\//.exec(said);
      if (port) resolve(`http://127.0.0.1:${port[1]}`);
    });
    child.once('error', reject);
    child.once('exit', (code) => reject(new Error(`the service ended with ${code}: ${said}`)));
  });

  /** What calculator `name` puts out for these inputs; an unknown figure is null. */
  async function ask(name, inputs) {
    const response = await fetch(`${base}/api/calc/${name}?${new URLSearchParams(inputs)}`);
    const answer = await response.json();
    if (!response.ok) throw new Error(`${name} ${JSON.stringify(inputs)}: ${JSON.stringify(answer)}`);
    return answer.outputs;
  }

  /** The same of many inputs, a few at once; the answers stand in the order of the inputs. */
  async function askAll(name, inputs) {
    const answers = [];
    let next = 0;
    const worker = async () => {
      while (next < inputs.length) {
        const i = next;
        next += 1;
        answers[i] = await ask(name, inputs[i]);
      }
    };
    await Promise.all(Array.from({ length: AT_ONCE }, worker));
    return answers;
  }

  return {
    askAll,
    stop: () => new Promise((resolve, reject) => {
      child.once('exit', (code, signal) => {
        rmSync(folder, { recursive: true, force: true });
        if (code === 0) resolve();
        else reject(new Error(`the service ended with ${signal ?? code}`));
      });
      child.kill('SIGTERM');
    }),
  };
}
