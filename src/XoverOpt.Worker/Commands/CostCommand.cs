using System.CommandLine;
using System.Globalization;
using System.Text.Encodings.Web;
using System.Text.Json;
using XoverOpt.Acoustics;
using XoverOpt.Search;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Commands;

/// <summary><c>cost JOB</c>: the cost as a line protocol, for optimisers from outside.</summary>
internal static class CostCommand
{
    private const string About = "Reads points from standard input, a line each, and answers each with its cost.";

    private const string Guide =
        """
        A line holds one value from 0 to 1 for each coordinate, apart by spaces, tabs or commas; the answer is one line with the cost, every
        digit of it, or "error: …" and what is wrong with the line. Lines sent together are answered together. The line ? is answered with one
        line of JSON: how many values, their names, among how many each chooses (0: continuous), the grid and the layout.
        With --layout the values are those of one layout: network parts (log scale), damper, tube length, way by way.
        Without it a point is the whole job: first what each way chooses, then its values; a layout that breaks a limit on its receivers
        costs 1000 and more besides. The cost is that of solve, peak SPL included, on the grid asked for.

        Examples:
          echo '?' | xoveropt cost jobs/quick.json
          xoveropt cost jobs/quick.json --layout 4711 --real < points.txt

        Exit codes: 0 the input has ended; 1 the job or an option is wrong.
        """;

    // Names and sentences are shown as they are: "mm²" and "×" need no escapes.
    private static readonly JsonSerializerOptions Plain = new(JsonSerializerDefaults.Web) { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Argument<string> job = new("JOB") { Description = "The job file." };
        Option<long?> layout = new("--layout") { Description = "Place of the layout in the list of all, from 0; the whole job if left out.", HelpName = "N" };
        Option<int> grid = new("--grid") { Description = "Points an octave: 6, 12, or 24, on which builds are ranked.", HelpName = "N", DefaultValueFactory = _ => 24 };
        Option<bool> real = new("--real") { Description = "Take for each value the nearest that can be bought or cut." };
        layout.Allow(place => place is null or >= 0, "0 or more");
        grid.Allow(points => points is 6 or 12 or 24, "6, 12 or 24");
        GuidedCommand command = new("cost", About, Guide) { job, layout, grid, real };
        command.SetAction(parsed => Run(parsed.GetRequiredValue(job), parsed.GetValue(layout), parsed.GetValue(grid), parsed.GetValue(real)));
        return command;
    }

    private static int Run(string jobPath, long? place, int grid, bool real)
    {
        Reading<JobDocument> reading = JobFile.Read(jobPath);
        if (!reading.IsGood)
        {
            return CommandLine.Refuse(reading.Faults);
        }

        Problem problem = reading.Value.Problem;
        LayoutSpace space = new(problem);
        if (place >= space.Total)
        {
            Console.Error.WriteLine(string.Create(CultureInfo.InvariantCulture, $"--layout: found {place}; allowed: 0 to {space.Total - 1:0}."));
            return ExitCode.WrongInput;
        }

        ProblemTables tables = new(problem, grid);
        PointCost cost = new(tables, space, real);
        CostLines lines;
        if (place is { } at)
        {
            Layout layout = space.At(at);
            IReadOnlyList<PointValue> values = JobPoint.ValuesOf(problem, space, layout);
            lines = new(values, Header(values, tables, real, Words(problem, space, layout)), point => cost.At(layout, point));
        }
        else
        {
            JobPoint job = new(problem, space);
            string words = string.Create(CultureInfo.InvariantCulture, $"any of {space.Total:0} ({space.Allowed:0} that no limit on receivers excludes)");
            lines = new(job.Values, Header(job.Values, tables, real, words), point =>
            {
                (Layout layout, double[] unit) = job.Decode(point);
                return cost.At(layout, unit);
            });
        }

        using Stream input = Console.OpenStandardInput(), output = Console.OpenStandardOutput();
        lines.Answer(input, output);
        return ExitCode.Done;
    }

    private static string Header(IReadOnlyList<PointValue> values, ProblemTables tables, bool real, string layout) => JsonSerializer.Serialize(
        new
        {
            values = values.Count,
            names = values.Select(value => value.Name),
            choices = values.Select(value => value.Choices),
            pointsPerOctave = tables.Grid.PointsPerOctave,
            frequencies = tables.Grid.Count,
            real,
            layout,
        },
        Plain);

    private static string Words(Problem problem, LayoutSpace space, Layout layout)
    {
        IEnumerable<string> ways = problem.Ways.Select((way, index) =>
        {
            WayOption option = space.Option(layout, index);
            string wired = option.Count == 1 ? "" : option.Wiring == Wiring.Parallel ? " in parallel" : " in series";
            string turned = option.Polarity == Polarity.Normal ? "" : ", leads turned over";
            return string.Create(
                CultureInfo.InvariantCulture,
                $"{way.Name}: {option.Count} × {way.Receivers[option.Receiver].Receiver.PartNumber}{wired}{turned}, {way.Networks[option.Network]}, bore {way.Bores[option.Bore].Value * 1e3:0.###} mm");
        });
        return string.Join("; ", ways) + (space.Allows(layout) ? "" : " (breaks a limit)");
    }
}
