// Sends a table of hourly air to the hub, which reads it. A table is not kept for later:
// without the hub it is asked for again, and the file is still where it was.

import { ApiError, failure } from './api';
import { t } from './words';

export interface TableTaken {
  hours: number;
  odd_rows: number;
  odd: string[];
}

export async function sendTable(site: string, file: File, by: string): Promise<TableTaken> {
  const query = new URLSearchParams({ by, name: file.name });
  let answer: Response;
  try {
    answer = await fetch(`/api/sites/${site}/hourly?${query}`, { method: 'POST', credentials: 'same-origin', body: await file.arrayBuffer() });
  } catch {
    throw new ApiError(0, 'unreachable', t('error-unreachable'));
  }
  if (!answer.ok) throw await failure(answer);
  return (await answer.json()) as TableTaken;
}
