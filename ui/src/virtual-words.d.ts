/** Made by the build (vite.config.ts): the address of each language's words. */
declare module 'virtual:words' {
  const files: Record<string, string>;
  export default files;
}
