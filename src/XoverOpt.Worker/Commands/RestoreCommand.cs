using System.CommandLine;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Commands;

/// <summary><c>restore FILE</c>: a backup in the place of a store.</summary>
internal static class RestoreCommand
{
    private const string About = "Puts a backup in the place of a store that no worker is using.";

    private const string Guide =
        """
        The backup is checked first. A store that stands in the folder is kept beside the new one as xoveropt.db.before-restore. Runs that
        were open when the backup was made go on from the checkpoint they had then; their builds are the same for it.

        Examples:
          xoveropt restore /backup/xoveropt-monday.db --store /var/lib/xoveropt

        Exit codes: 0 done; 2 the file is no sound backup, or a worker uses the store.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Argument<string> file = new("FILE") { Description = "What backup wrote." };
        Option<string> store = StoreOption.Create();
        GuidedCommand command = new("restore", About, Guide) { file, store };
        command.SetAction(parsed =>
        {
            WorkshopStore.Restore(parsed.GetRequiredValue(file), parsed.GetRequiredValue(store));
            Console.Error.WriteLine($"The store in {StoreAddress.Parse(parsed.GetRequiredValue(store)).Shown} is that of {parsed.GetRequiredValue(file)}.");
            return ExitCode.Done;
        });
        return command;
    }
}
