using System.CommandLine;
using XoverOpt.Workshop.Paperwork;

namespace XoverOpt.Worker.Commands;

/// <summary><c>drawing BUILD --job JOB --kind KIND</c>: one drawing of a build as SVG.</summary>
internal static class DrawingCommand
{
    private const string About = "Draws a build: its network, its acoustic side, or one of its curves, as an SVG picture that needs nothing else.";

    private const string Guide =
        """
        Curves: response, shares, phase, phase-figure, arrival, group-delay, summing-loss, impedance, peak-level; spread and limits draw units
        from the spread of parts first, which takes some seconds.
        Lines take the colour of the text around them, so that a picture serves on a light and on a dark page.

        Examples:
          xoveropt drawing out/stage/builds/01.json --job jobs/stage.json --kind schematic --out stage-01.svg
          xoveropt drawing out/stage/builds/01.json --job jobs/stage.json --kind response > response.svg

        Exit codes: 0 done; 1 the build, the job or the kind is wrong; 2 the file cannot be written.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Option<string> kind = new("--kind") { Description = $"What to draw: {string.Join(", ", BuildDrawings.Names)}.", HelpName = "KIND", Required = true };
        kind.Allow(name => BuildDrawings.Names.Contains(name), string.Join(", ", BuildDrawings.Names));
        GuidedCommand command = new("drawing", About, Guide) { kind };
        new PaperCommand("The SVG file; standard output if left out.").AddTo(
            command, (build, parsed) => BuildDrawings.Svg(parsed.GetRequiredValue(kind), build, Environment.ProcessorCount));
        return command;
    }
}
