namespace XoverOpt.Benchmarks;

/// <summary>Measurements, one a subcommand; nothing here is a test.</summary>
internal static class Program
{
    private static int Main(string[] arguments) => arguments switch
    {
        ["kernel", .. var rest] => KernelTiming.Run(rest),
        ["planted", .. var rest] => ReachOptions.Guard(() => PlantedCommand.Run(rest)),
        ["rerun", .. var rest] => ReachOptions.Guard(() => RerunCommand.Run(rest)),
        ["reach", .. var rest] => ReachOptions.Guard(() => ReachCommand.Run(rest)),
        ["circuit", .. var rest] => ComparisonOptions.Guard(() => ComparisonCircuit.Run(rest)),
        ["threads", .. var rest] => ComparisonOptions.Guard(() => ComparisonThreads.Run(rest)),
        ["load", .. var rest] => ReachOptions.Guard(() => LoadCommand.Run(rest)),
        ["part-uses", .. var rest] => ReachOptions.Guard(() => PartUsesCommand.Run(rest)),
        ["pages", .. var rest] => ReachOptions.Guard(() => PagesCommand.Run(rest)),
        ["compare", .. var rest] => ComparisonOptions.Guard(() => ComparisonCommand.Run(rest)),
        _ => Usage(),
    };

    private static int Usage()
    {
        Console.Error.WriteLine("Usage: kernel [JOB] | planted | reach JOB | rerun JOB | load | part-uses | pages | compare JOB | circuit JOB | threads JOB");
        return 64;
    }
}
