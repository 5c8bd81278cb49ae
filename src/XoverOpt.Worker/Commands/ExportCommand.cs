using System.CommandLine;

namespace XoverOpt.Worker.Commands;

/// <summary><c>export ID</c>: a run that has ended, as one archive.</summary>
internal static class ExportCommand
{
    private const string About = "Fetches a run that has ended as one ZIP archive: job, inventory, result, builds, report.";

    private const string Guide =
        """
        Examples:
          xoveropt export 019a7c52-5a0e-7c61-9c35-0d3f6a1f2b11
          xoveropt export 019a7c52-5a0e-7c61-9c35-0d3f6a1f2b11 --out monitor.zip

        Exit codes: 0 written; 1 no such run, it has not ended, or the key is wrong; 2 no worker answers or the file cannot be written.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Argument<string> id = new("ID") { Description = "The id of the run." };
        Option<string?> output = new("--out") { Description = "The file to write; run-ID.zip here if left out.", HelpName = "FILE" };
        return WorkerLink.Command(new GuidedCommand("export", About, Guide) { id, output }, async (parsed, link, end) =>
        {
            string run = parsed.GetRequiredValue(id);
            byte[] archive = await link.Send(HttpMethod.Get, $"/api/jobs/{Uri.EscapeDataString(run)}/export", end).ConfigureAwait(false);
            string file = parsed.GetValue(output) ?? $"run-{Path.GetFileName(run)}.zip";
            if (Path.GetDirectoryName(file) is { Length: > 0 } folder)
            {
                Directory.CreateDirectory(folder);
            }

            await File.WriteAllBytesAsync(file + ".new", archive, end).ConfigureAwait(false);
            File.Move(file + ".new", file, overwrite: true);
            Console.WriteLine($"{file} written");
            return ExitCode.Done;
        });
    }
}
