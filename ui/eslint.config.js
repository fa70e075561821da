// What the web app's code must not do, beyond what the types and the formatter hold.
import svelte from 'eslint-plugin-svelte';
import globals from 'globals';
import ts from 'typescript-eslint';

export default ts.config(
  { ignores: ['dist', 'public', 'node_modules', 'src/lib/types.gen.ts', 'src/lib/routes.gen.ts'] },
  ...ts.configs.recommended,
  ...svelte.configs.recommended,
  { languageOptions: { globals: { ...globals.browser, ...globals.serviceworker, ...globals.node } } },
  { files: ['**/*.svelte', '**/*.svelte.ts'], languageOptions: { parserOptions: { parser: ts.parser } } },
  {
    rules: {
      eqeqeq: ['error', 'always', { null: 'ignore' }],
      'no-nested-ternary': 'error',
      // `a && b()` is read as it is written.
      '@typescript-eslint/no-unused-expressions': 'off',
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_', varsIgnorePattern: '^_' }],
      // A space between two elements is written as {' '} where the line breaks.
      'svelte/no-useless-mustaches': 'off',
      // Sets and maps here are made anew or live inside one function.
      'svelte/prefer-svelte-reactivity': 'off',
    },
  },
);
