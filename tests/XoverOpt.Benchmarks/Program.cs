namespace XoverOpt.Benchmarks;

/// <summary>Measurements, one a subcommand; nothing here is a test.</summary>
internal static class Program
{
    private static int Main(string[] arguments) => arguments switch
    {
        ["kernel", .. var rest] => KernelTiming.Run(rest),
        _ => Usage(),
    };

    private static int Usage()
    {
        Console.Error.WriteLine("Usage: kernel [job file]");
        return 64;
    }
}
