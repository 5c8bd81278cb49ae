using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Net.Sockets;

namespace XoverOpt.Benchmarks;

/// <summary>A worker as a process of its own, on a free port, ended when disposed.</summary>
internal sealed class LoadWorker : IDisposable
{
    private readonly Process _process;

    /// <summary>Starts it.</summary>
    /// <param name="dll">The program.</param>
    /// <param name="inventory">Its inventory.</param>
    /// <param name="folder">Where its store goes.</param>
    public LoadWorker(string dll, string inventory, string folder)
    {
        using TcpListener free = new(IPAddress.Loopback, 0);
        free.Start();
        int port = ((IPEndPoint)free.LocalEndpoint).Port;
        free.Stop();
        Address = new Uri(string.Create(CultureInfo.InvariantCulture, $"http://127.0.0.1:{port}"));
        ProcessStartInfo start = new(Environment.GetEnvironmentVariable("DOTNET_HOST_PATH") ?? "dotnet")
        {
            ArgumentList = { dll, "serve", "--urls", Address.ToString(), "--store", Path.Combine(folder, "store"), "--inventory", inventory, "--requests-per-second", "0" },
            Environment = { ["Logging__LogLevel__Default"] = "Warning" },
        };
        _process = Process.Start(start)!;
    }

    /// <summary>Where it listens.</summary>
    public Uri Address { get; }

    /// <summary>Memory it holds, MB.</summary>
    public double Megabytes
    {
        get
        {
            _process.Refresh();
            return _process.WorkingSet64 / 1e6;
        }
    }

    /// <summary>Waits until it answers.</summary>
    /// <exception cref="IOException">It ended instead.</exception>
    public async Task Ready()
    {
        using HttpClient http = new() { BaseAddress = Address };
        while (true)
        {
            try
            {
                if ((await http.GetAsync("/health/ready")).IsSuccessStatusCode)
                {
                    return;
                }
            }
            catch (HttpRequestException) when (!_process.HasExited)
            {
                // Not yet listening.
            }
            catch (HttpRequestException)
            {
                throw new IOException($"the worker ended with code {_process.ExitCode}");
            }

            await Task.Delay(100);
        }
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        if (!_process.HasExited)
        {
            _process.Kill();
            _process.WaitForExit();
        }

        _process.Dispose();
    }
}
