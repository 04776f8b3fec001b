/* What starting and ending a process costs here by itself. */
int main(void) { return 0; }
