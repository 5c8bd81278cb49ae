using System.CommandLine;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Commands;

/// <summary><c>check FILE…</c>: every fault in receivers, stock, jobs and builds.</summary>
internal static class CheckCommand
{
    private const string About = "Validates receivers, stock, jobs and builds and lists every fault.";

    private const string Guide =
        """
        Each fault says where it is, what was found, what is allowed, and the likely fix.

        Examples:
          xoveropt check jobs/stage.json
          xoveropt check driverlib/*.json out/stage/builds/01.json --inventory driverlib

        Exit codes: 0 all in order; 1 at least one fault.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Argument<string[]> files = new("FILE") { Description = "Files to check, or a folder of stock.", Arity = ArgumentArity.OneOrMore };
        Option<string> inventory = new("--inventory")
        {
            Description = "The drawer that builds refer to: a folder or file of stock.",
            DefaultValueFactory = _ => "driverlib",
        };
        GuidedCommand command = new("check", About, Guide) { files, inventory };
        command.SetAction(parsed => Run(parsed.GetRequiredValue(files), parsed.GetRequiredValue(inventory)));
        return command;
    }

    private static int Run(string[] files, string inventory)
    {
        int exit = ExitCode.Done;
        foreach (string file in files)
        {
            IReadOnlyList<Fault> faults = FileCheck.Check(file, inventory);
            if (faults.Count > 0)
            {
                exit = CommandLine.Refuse(faults);
            }
            else
            {
                Console.WriteLine($"{file}: in order");
            }
        }

        return exit;
    }
}
