using System.CommandLine;
using System.Text;
using System.Text.Json;
using XoverOpt.Worker.Analyses;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Commands;

/// <summary>What commands have in common that look at builds one by one and then beside one another.</summary>
/// <param name="settings">The numbers they take as options.</param>
/// <param name="notes">What the results rest on.</param>
internal sealed class AnalysisCommand(IReadOnlyList<NumberSetting> settings, IReadOnlyList<string> notes)
{
    private static readonly JsonSerializerOptions _indented = new(ApiJson.Options) { WriteIndented = true };

    private readonly Argument<string[]> _builds = new("BUILD") { Description = "The build files.", Arity = ArgumentArity.OneOrMore };
    private readonly Option<string> _job = new("--job") { Description = "The job they are judged by.", HelpName = "JOB", Required = true };
    private readonly Option<bool> _json = new("--json") { Description = "Print JSON, an array with an entry a build." };
    private readonly (NumberSetting Setting, Option<double[]> Option)[] _options = [.. settings.Select(setting => (setting, setting.ToOption()))];

    /// <summary>Adds arguments, options and the action to a command.</summary>
    /// <param name="command">The command.</param>
    /// <param name="analyse">Analyses one build.</param>
    /// <param name="text">The lines of all.</param>
    public void AddTo<T>(GuidedCommand command, Func<BuildInJob, ParseResult, GivenNumbers, T> analyse, Func<IReadOnlyList<AnalysedBuild<T>>, IEnumerable<string>> text)
    {
        command.Add(_builds);
        command.Add(_job);
        Array.ForEach(_options, option => command.Add(option.Option));
        command.Add(_json);
        command.SetAction(parsed =>
        {
            var given = new GivenNumbers(setting => parsed.GetValue(_options.Single(option => option.Setting == setting).Option));
            var analysed = new List<AnalysedBuild<T>>();
            List<Fault> faults = [];
            foreach (string path in parsed.GetRequiredValue(_builds))
            {
                Reading<BuildInJob> reading = BuildInJob.Read(path, parsed.GetRequiredValue(_job));
                faults.AddRange(reading.Faults);
                if (reading.IsGood)
                {
                    analysed.Add(new(path, reading.Value, analyse(reading.Value, parsed, given)));
                }
            }

            return faults.Count > 0 ? CommandLine.Refuse([.. faults.Distinct()]) : Print(analysed, parsed.GetValue(_json), text);
        });
    }

    private int Print<T>(IReadOnlyList<AnalysedBuild<T>> analysed, bool json, Func<IReadOnlyList<AnalysedBuild<T>>, IEnumerable<string>> text)
    {
        Console.OutputEncoding = Encoding.UTF8;
        if (json)
        {
            Console.WriteLine(JsonSerializer.Serialize(analysed.Select(one => new BuildAnalysis<T>(one.Name, notes, one.Result)), _indented));
            return ExitCode.Done;
        }

        IEnumerable<string> ending = notes.Append(BuildFile.Caution).Append(Report.Model).SelectMany(line => Report.Wrap(line, Report.Width));
        foreach (string line in text(analysed).Concat(ending))
        {
            Console.WriteLine(line);
        }

        return ExitCode.Done;
    }
}

/// <summary>A build with what an analysis made of it.</summary>
/// <param name="Name">Its file.</param>
/// <param name="Build">The build and its job.</param>
/// <param name="Result">The analysis.</param>
internal sealed record AnalysedBuild<T>(string Name, BuildInJob Build, T Result)
{
    /// <summary>File and receivers in one line.</summary>
    public string Heading => $"{Name}: {string.Join(" · ", Build.Build.Earpiece.Ways.Select(WayText.Short))}";
}
