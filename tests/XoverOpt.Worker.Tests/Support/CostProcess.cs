using System.Diagnostics;
using System.Text;

namespace XoverOpt.Worker.Tests.Support;

/// <summary>The <c>cost</c> command as a process that is talked to line by line.</summary>
internal sealed class CostProcess : IDisposable
{
    private readonly Process _process;
    private readonly Task<string> _errors;

    public CostProcess(string folder, params string[] args)
    {
        ProcessStartInfo start = new(Environment.GetEnvironmentVariable("DOTNET_HOST_PATH") ?? "dotnet")
        {
            WorkingDirectory = folder,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            RedirectStandardInput = true,
            StandardOutputEncoding = Encoding.UTF8,
            StandardInputEncoding = new UTF8Encoding(false),
        };
        foreach (string arg in args.Prepend("cost").Prepend(Path.Combine(AppContext.BaseDirectory, "XoverOpt.Worker.dll")))
        {
            start.ArgumentList.Add(arg);
        }

        _process = Process.Start(start)!;
        _errors = _process.StandardError.ReadToEndAsync();
    }

    /// <summary>Sends lines together, then reads as many answers.</summary>
    public async Task<string[]> Ask(params string[] lines)
    {
        await _process.StandardInput.WriteAsync(string.Concat(lines.Select(line => line + "\n")));
        await _process.StandardInput.FlushAsync();
        var answers = new string[lines.Length];
        for (int i = 0; i < lines.Length; i++)
        {
            answers[i] = await _process.StandardOutput.ReadLineAsync() ?? throw new EndOfStreamException($"no answer {i + 1}: {await _errors}");
        }

        return answers;
    }

    /// <summary>Ends the input: what is still printed, and the exit code.</summary>
    public async Task<(int Exit, string Output, string Error)> End(string lastLine = "")
    {
        await _process.StandardInput.WriteAsync(lastLine);
        _process.StandardInput.Close();
        string output = await _process.StandardOutput.ReadToEndAsync();
        await _process.WaitForExitAsync();
        return (_process.ExitCode, output, await _errors);
    }

    public void Dispose()
    {
        if (!_process.HasExited)
        {
            _process.Kill();
        }

        _process.Dispose();
    }
}
