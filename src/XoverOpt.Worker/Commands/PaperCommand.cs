using System.CommandLine;
using System.Text;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Commands;

/// <summary>What commands have in common that write one paper of one build, to a file or to standard output.</summary>
/// <param name="about">What the file is.</param>
internal sealed class PaperCommand(string about)
{
    private readonly Argument<string> _build = new("BUILD") { Description = "The build file." };
    private readonly Option<string> _job = new("--job") { Description = "The job it is judged by.", HelpName = "JOB", Required = true };
    private readonly Option<string?> _out = new("--out") { Description = about, HelpName = "FILE" };

    /// <summary>Adds arguments, options and the action to a command.</summary>
    /// <param name="command">The command.</param>
    /// <param name="write">Writes the paper.</param>
    public void AddTo(GuidedCommand command, Func<BuildInJob, ParseResult, string> write) =>
        AddTo(command, (build, parsed) => new Reading<string>(write(build, parsed), []));

    /// <summary>The same for a paper that takes a file of its own, which may be wrong.</summary>
    public void AddTo(GuidedCommand command, Func<BuildInJob, ParseResult, Reading<string>> write)
    {
        command.Add(_build);
        command.Add(_job);
        command.Add(_out);
        command.SetAction(parsed =>
        {
            Reading<BuildInJob> reading = BuildInJob.Read(parsed.GetRequiredValue(_build), parsed.GetRequiredValue(_job));
            if (!reading.IsGood)
            {
                return CommandLine.Refuse(reading.Faults);
            }

            Reading<string> paper = write(reading.Value, parsed);
            if (!paper.IsGood)
            {
                return CommandLine.Refuse(paper.Faults);
            }

            Put(paper.Value, parsed.GetValue(_out));
            return ExitCode.Done;
        });
    }

    /// <summary>Writes a text to a file, or to standard output where none is named.</summary>
    /// <exception cref="IOException">It cannot be written.</exception>
    public static void Put(string text, string? path)
    {
        if (path is null)
        {
            Console.OutputEncoding = new UTF8Encoding(false);
            Console.Write(text);
            return;
        }

        if (Path.GetDirectoryName(Path.GetFullPath(path)) is { } folder)
        {
            Directory.CreateDirectory(folder);
        }

        File.WriteAllText(path, text, new UTF8Encoding(false));
        Console.WriteLine($"written to {path}");
    }
}
