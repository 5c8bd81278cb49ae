using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Invocation;

namespace XoverOpt.Worker.Commands;

/// <summary>A command whose own help closes with a guide: examples, units, exit codes.</summary>
internal sealed class GuidedCommand(string name, string description, string guide) : Command(name, description)
{
    /// <summary>Lets help show the guides, and that of the root under the list of commands.</summary>
    public static void ShowGuides(RootCommand root, string rootGuide)
    {
        HelpOption help = root.Options.OfType<HelpOption>().Single();
        help.Action = new HelpThenGuide((SynchronousCommandLineAction)help.Action!, rootGuide);
    }

    private sealed class HelpThenGuide(SynchronousCommandLineAction help, string rootGuide) : SynchronousCommandLineAction
    {
        public override int Invoke(ParseResult parseResult)
        {
            int exit = help.Invoke(parseResult);
            string guide = parseResult.CommandResult.Command is GuidedCommand command ? command.Guide : rootGuide;
            parseResult.InvocationConfiguration.Output.WriteLine(guide);
            return exit;
        }
    }

    private string Guide => guide;
}
