using System.CommandLine;
using XoverOpt.Workshop.Paperwork;

namespace XoverOpt.Worker.Commands;

/// <summary><c>netlist BUILD --job JOB</c>: a build for a circuit simulator.</summary>
internal static class NetlistCommand
{
    private const string About = "Writes a build as a netlist of general SPICE syntax: network, receivers, tubes, dampers and ear, with the eardrum pressure at node drum (1 V is 1 Pa).";

    private const string Guide =
        """
        Parts bear the designators of the build sheet. In ngspice the response agrees with ours within a tenth of a decibel up to 10 kHz.

        Examples:
          xoveropt netlist out/stage/builds/01.json --job jobs/stage.json --out stage-01.cir
          ngspice -b stage-01.cir

        Exit codes: 0 done; 1 the build or the job is wrong; 2 the file cannot be written.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        GuidedCommand command = new("netlist", About, Guide);
        new PaperCommand("The netlist; standard output if left out.").AddTo(command, (build, _) => SpiceNetlist.Write(build));
        return command;
    }
}
