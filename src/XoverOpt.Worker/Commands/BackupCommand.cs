using System.CommandLine;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Commands;

/// <summary><c>backup FILE</c>: the whole store in one file, while the worker works.</summary>
internal static class BackupCommand
{
    private const string About = "Writes the whole store to a file, as of one moment, while the worker goes on.";

    private const string Guide =
        """
        The file holds runs, builds, checkpoints and keys; it is there whole or not at all. Never copy the store's own files while
        a worker uses them. A PostgreSQL store is backed up with PostgreSQL's own tools.

        Examples:
          xoveropt backup /backup/xoveropt-monday.db --store /var/lib/xoveropt
          xoveropt restore /backup/xoveropt-monday.db --store /var/lib/xoveropt

        Exit codes: 0 done; 2 the store or the file cannot be used.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Argument<string> file = new("FILE") { Description = "A file that does not exist yet." };
        Option<string> store = StoreOption.Create();
        GuidedCommand command = new("backup", About, Guide) { file, store };
        command.SetAction(parsed =>
        {
            using var opened = WorkshopStore.OpenBeside(parsed.GetRequiredValue(store), TimeProvider.System);
            opened.BackUp(parsed.GetRequiredValue(file));
            Console.Error.WriteLine($"The store in {opened.Address.Shown} is kept in {parsed.GetRequiredValue(file)}.");
            return ExitCode.Done;
        });
        return command;
    }
}
